"""What the templates share: the inverters people meet, and how quantities are said."""

from calc import tables
from calc.exercises.items import given, work
from calc.physics import inverter
from calc.units import restate_quantity

HOUR = 3600.0
DAY = 24 * HOUR
LOSSES = (1.05, 0.06)
"""Loss terms a and b of an everyday inverter: common practice."""
INVERTERS = ((300.0, 6.0), (600.0, 8.0), (1000.0, 12.0), (1500.0, 15.0), (2000.0, 20.0), (3000.0, 30.0))
"""Continuous rating and standby power, W: common practice."""
COPPER_COEFFICIENT = 0.00393  # 1/K, IEC 60028

say = restate_quantity


def typed(value, unit):
    """A quantity as a form takes it."""
    return restate_quantity(value, unit).replace("\u00a0", " ")


def nominal(voltage):
    """The voltage on the label of a battery that stands at a voltage."""
    return min((12.0, 24.0, 48.0), key=lambda label: abs(voltage - label))


def inverter_facts(rating, standby, unit="W"):
    """What is given of an inverter."""
    index = "S_r" if unit == "VA" else "P_r"
    return (
        given(f"Inverter rating {index}", rating, unit),
        given("Its standby P_0", standby, "W"),
        given("Loss term a", LOSSES[0], ""),
        given("Loss term b", LOSSES[1], ""),
    )


def inverter_typed(rating, standby):
    """The same as the calculators' forms take it: two efficiencies stand for the loss terms."""
    points = ", ".join(f"{share}%:{100 * share / 100 * rating / power_dc(share / 100 * rating, rating, standby):.8f}%" for share in (50, 100))
    return {"rating": typed(rating, "VA"), "standby_power": typed(standby, "W"), "points": points}


def power_dc(power_ac, rating, standby):
    """What an everyday inverter takes for a load of power factor 1."""
    return inverter.power_dc(power_ac, 1.0, rating, standby, *LOSSES)


def power_ac(power_dc, rating, standby):
    """The load of power factor 1 for which it takes a power."""
    return inverter.power_ac_from_dc(power_dc, 1.0, rating, standby, *LOSSES)


def work_power_dc(power, rating, standby):
    """The line of working for what an everyday inverter takes."""
    return work(
        "P_dc",
        "power from the battery",
        "P_0 + a*P + b*P**2/P_r",
        power_dc(power, rating, standby),
        "W",
        "loss-model",
        P_0=(standby, "W"),
        a=(LOSSES[0], ""),
        P=(power, "W"),
        b=(LOSSES[1], ""),
        P_r=(rating, "W"),
    )


def work_power_ac(taken, rating, standby):
    """The line of working for the load behind a power from the battery."""
    return work(
        "P",
        "load that it can carry",
        "2*(P_dc - P_0)/(a + sqrt(a**2 + 4*b*(P_dc - P_0)/P_r))",
        power_ac(taken, rating, standby),
        "W",
        "loss-model",
        P_dc=(taken, "W"),
        P_0=(standby, "W"),
        a=(LOSSES[0], ""),
        b=(LOSSES[1], ""),
        P_r=(rating, "W"),
    )


def copper_sizes():
    """Cross-sections of flexible copper with their resistance a metre at 20 °C, thin to thick: IEC 60228, class 5."""
    return tuple((row["area"], row["class_5"]) for row in tables.load("copper_iec_60228").values)
