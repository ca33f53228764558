"""A DC current asked for by AC power: the fields, their checks and the current that follows.

Shared by the calculators that size cable and fuse. The current counts at the lowest voltage
the inverter works at, where it is highest.
"""

from dataclasses import replace

from calc.calculators import losses
from calc.calculators.form import Field
from calc.errors import FieldProblem
from calc.units import format_quantity, restate_quantity

INVERTER = (losses.POWER_FACTOR, replace(losses.RATING, more=True), *losses.FIELDS[1:])
"""The inverter behind an AC load, all of it under "more"."""

FIELDS = (
    Field(
        "power_ac", "AC power, in place of the current", "W", minimum="0 W", maximum="60 kW", above_minimum=True, tolerance="5 %",
        basis="common practice: type plates are good to about 5 %", hint="Then the lowest voltage and the inverter's losses count.", more=True,
    ),
    Field(
        "voltage_min", "Lowest voltage the inverter works at", "V", minimum="5 V", maximum="60 V",
        hint="Its cut-out: there the current is highest. Needed with the AC power.", more=True,
    ),
    *INVERTER,
)  # fmt: skip


def check_rating(v):
    """Raise FieldProblem where the AC power is more than the inverter gives.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the fields above, in SI units.
    """
    if v.power_ac / v.power_factor > v.rating * (1 + 1e-9):
        raise FieldProblem("power_ac", f"{format_quantity(v.power_ac / v.power_factor, 'VA')} is above the inverter's {restate_quantity(v.rating, 'VA')} continuous: enter less, or a larger rating")


def check(v, current, voltage_nominal):
    """Raise FieldProblem where the fields above do not make a current.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the fields above, in SI units.
    current : float or None
        The current the form asks for in the first place, [A].
    voltage_nominal : float
        Of the battery, [V].
    """
    if v.power_ac is None:
        if current is None:
            raise FieldProblem("power_ac", "enter the AC power that goes with the lowest voltage, or leave that blank and give the current")
        return
    if v.voltage_min is None:
        raise FieldProblem("voltage_min", "enter the inverter's cut-out voltage: there the current is highest")
    check_rating(v)
    if v.voltage_min > voltage_nominal:
        raise FieldProblem("voltage_min", f"cannot lie above the nominal {restate_quantity(voltage_nominal, 'V')}: enter the inverter's cut-out")
    losses.check(v)


def current_dc(v, current):
    """The DC current, as given or by the AC power.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the fields above, in SI units.
    current : float or None
        As given, [A].

    Returns
    -------
    float
        Mean, [A].
    """
    return current if v.power_ac is None else losses.power_dc(v, v.power_ac, v.power_factor) / v.voltage_min


def explain(case, current):
    """Write the way from the AC power to the current into the working.

    Parameters
    ----------
    case : Case
        The run.
    current : float
        The current found, [A].
    """
    v = case.values
    if v.power_ac is None:
        return
    losses.explain(case)
    power = losses.power_dc(v, v.power_ac, v.power_factor)
    losses.explain_power_dc(case, v.power_ac, v.power_factor, power)
    case.step("I", "mean current at the lowest voltage", "P_dc/V_min", {"P_dc": (power, "W"), "V_min": (v.voltage_min, "V")}, current, "A", "ohm")
