"""Curves from the calculators' own values."""

from calc import tables
from calc.physics import battery, charging, circuit, inverter
from calc.render.words import input_likely, quantity
from calc.result import Axis, Figure, Series
from scripts.drawings.registry import drawing
from scripts.drawings.values import answered

DASHES = ("solid", "dashed", "dotted")


def _model(rating):
    """An inverter of a rating in VA with the losses the calculators start from; its standby grows with the rating."""
    usual = answered("conversion-loss")
    base = {name: usual.input(name).value for name in ("rating", "standby_power", "efficiency_full", "efficiency_peak")}
    standby = base["standby_power"] * rating / base["rating"]
    a, b = inverter.loss_terms_from_two(standby, rating, base["efficiency_full"], base["efficiency_peak"])
    return lambda power: inverter.power_dc(power, 1.0, rating, standby, a, b)


@drawing(
    "efficiency-three-sizes",
    "Efficiency against load for three sizes",
    "Efficiency over the load, up to 600 watts, of three inverters of the same make-up: a small, a middle and a large one. At a load of 50 watts the small one reaches {small}, the middle one {middle} and the large one {large}. "
    "The larger the inverter, the further its curve starts to the right; at loads near each one's middle they are alike.",
    "A large inverter on a small load wastes most of what it takes. Losses as the calculators assume them; standby as the same share of each rating, which is common practice, not a law.",
)
def efficiency_three_sizes():
    loads = (5, 10, 15, 20, 30, 40, 50, 70, 100, 150, 200, 250, 300, 400, 500, 600)
    series, values = [], {}
    for rating, name, dash in ((300, "small", "solid"), (1000, "middle", "dashed"), (3000, "large", "dotted")):
        model = _model(rating)
        series.append(Series(f"{rating} VA, {name}", tuple((load, round(100 * load / model(load), 2)) for load in loads if load <= rating), dash))
        values[name] = quantity(50 / model(50), "%", 2)
    return Figure("", "", Axis("load", "W", 0, 600), Axis("efficiency", "%", 0, 100), tuple(series)), values


DAY = ((0, 8, 12), (8, 8.25, 900), (12.5, 12.75, 1200), (18, 22, 60), (22, 24, 12))
"""An invented day on an inverter: from, to, watts. A device by the bed, toast, a microwave oven, a laptop and lights."""


@drawing(
    "day-of-energy",
    "A day's energy from the battery",
    "Watt-hours added up over a day. The appliances use {used} in all. With the inverter switched off whenever nothing runs, the battery gives {off}; with the inverter on all day it gives {on}. "
    "The lines climb steeply at breakfast and at noon, and slowly in the evening; the upper line also climbs while nothing runs.",
    "The gap between the lines is loss: the lower part is conversion, the upper part the inverter waiting. An invented day, with the inverter the calculators start from.",
)
def day_of_energy():
    model = _model(answered("conversion-loss").input("rating").value)
    idle = model(0.0)
    used = _added(lambda power: power)
    off = _added(lambda power: model(power) if power else 0.0)
    on = _added(lambda power: model(power) if power else idle)
    values = {name: quantity(points[-1][1] * 3600, "Wh", 2) for name, points in (("used", used), ("off", off), ("on", on))}
    series = (Series("used by the appliances", used, "dotted"), Series("from the battery, off when idle", off, "dashed"), Series("from the battery, on all day", on, "solid"))
    return Figure("", "", Axis("time of day", "h", 0, 24), Axis("energy so far", "Wh", 0, 1500), series), values


def _added(taken):
    """Watt-hours so far at every change of the day, for what each power takes."""
    points, energy = [(0, 0.0)], 0.0
    changes = sorted({time for start, end, _ in DAY for time in (start, end)} | {0, 24})
    for start, end in zip(changes, changes[1:]):
        power = sum(watts for begin, stop, watts in DAY if begin <= start < stop)
        energy += taken(power) * (end - start)
        points.append((end, round(energy, 2)))
    return tuple(points)


@drawing(
    "drop-by-voltage",
    "Loss in one cable at 12, 24 and 48 V",
    "Share of the battery's voltage lost in one and the same cable, {area} and {length} one way, against the power taken from it, for batteries of 12, 24 and 48 V. "
    "At 2000 watts the cable takes {at12} at 12 V, {at24} at 24 V and {at48} at 48 V.",
    "Twice the voltage needs half the current: half the volts lost, a quarter of the share. The cable of the supply-path calculator's example.",
)
def drop_by_voltage():
    result = answered("supply-path")
    resistance, rest = result.output("cable_resistance_loop").value, result.input("voltage_open_circuit").value

    def share(power, times):
        return 100 * circuit.current_constant_power(power, rest * times, resistance, 0.0) * resistance / (rest * times)

    series = tuple(
        Series(f"{12 * times} V", tuple((power, round(share(power, times), 3)) for power in range(0, 2401, 200)), dash) for times, dash in zip((1, 2, 4), DASHES)
    )
    values = {f"at{12 * times}": quantity(share(2000, times) / 100, "%", 2) for times in (1, 2, 4)}
    values |= {"area": input_likely(result.input("area")), "length": input_likely(result.input("length_one_way"))}
    return Figure("", "", Axis("power from the battery", "W", 0, 2400), Axis("lost in the cable", "%", 0, 5), series), values


@drawing(
    "peukert",
    "What is left of the label at higher currents",
    "Capacity that a lead battery labelled 100 amp-hours at twenty hours gives, against the current drawn, for two kinds. At a current of 5 amperes both give the label. "
    "At 50 amperes one of kind AGM gives {agm} and a flooded one {flooded}; at 100 amperes {agm100} and {flooded100}.",
    "The label holds for the slow discharge it names; a fast one gives less. Exponents of the table of Peukert exponents; for loads that come and go it errs low, and it is not for lithium.",
)
def peukert():
    table = tables.load("peukert_lead_acid")
    exponents = {row["chemistry"]: row["peukert"] for row in table.values}

    def left(kind, current):
        return 100 / battery.rate_factor(float(current), 100 * 3600.0, 20 * 3600.0, exponents[kind])

    series = tuple(
        Series(name, tuple((current, round(left(kind, current), 2)) for current in (5, 10, 15, 20, 30, 40, 50, 60, 70, 80, 90, 100)), dash)
        for kind, name, dash in (("agm", "AGM", "solid"), ("flooded", "flooded", "dashed"))
    )
    values = {f"{kind}{ending}": quantity(left(kind, current) * 3600, "Ah", 2) for kind in ("agm", "flooded") for current, ending in ((50, ""), (100, "100"))}
    return Figure("", "", Axis("current", "A", 0, 100), Axis("capacity", "Ah", 0, 100), series), values


@drawing(
    "charge-taper",
    "A lead battery being charged: fast, then slow",
    "State of charge and charging current over hours, for a battery from which {energy} were taken. The current stays at the charger's full {amps} for {bulk}, while the state of charge climbs straight. "
    "From there the current falls away, and the last part of the charge takes hours more, however large the charger.",
    "The first part is set by the charger, the tail by the battery. That is why a generator is for the first part, and sun or mains for the tail. The recharge calculator's example on the mains.",
)
def charge_taper():
    result = answered("recharge", mains="mains")
    missing, tau = result.input("energy").value, result.input("taper_time").value
    at_start = result.figures[1].series[0].points[0][1]  # %, where the calculator's own curve begins
    bulk = result.output("hours_bulk").value
    # At the end of the bulk the taper begins: what is missing then is stored·τ.
    stored = missing / (bulk + tau)
    times = [round(place / 4, 2) for place in range(33)]

    def still_missing(hours):
        return missing - charging.energy_returned(missing, stored, tau, hours * 3600)

    state = tuple((time, round(100 - (100 - at_start) * still_missing(time) / missing, 2)) for time in times)
    current = tuple((time, round(100 * min(1.0, still_missing(time) / charging.taper_start(stored, tau)), 2)) for time in times)
    values = {"energy": input_likely(result.input("energy")), "amps": input_likely(result.input("charger_current")), "bulk": quantity(bulk, "h", 2)}
    return Figure("", "", Axis("time", "h", 0, 8), Axis("share", "%", 0, 100), (Series("state of charge", state, "solid"), Series("current, of the charger’s most", current, "dashed"))), values


@drawing(
    "rest-voltage-bands",
    "Rest voltage against state of charge",
    "Voltage at rest over the state of charge, from {low} to {high} % full. The lead battery rises nearly evenly from {lead_low} to {lead_high}. "
    "The lithium iron phosphate battery climbs steeply at first and then stays almost flat between 40 and 70 % full, where it rises by only {flat}.",
    "On lead, a rested battery's voltage tells its state of charge within a band. On lithium iron phosphate the flat middle tells nothing: count amp-hours there. Both for 12 V batteries at rest, from the tables of rest voltages.",
)
def rest_voltage_bands():
    lead, lithium = (_rest(name) for name in ("rest_voltage_lead_acid_bci", "rest_voltage_lfp_pybamm"))
    low, high = 10, 95
    inside = tuple(point for point in lithium if low <= point[0] <= high)
    at = dict(lithium)
    values = {"low": low, "high": high, "lead_low": quantity(lead[0][1], "V", 4), "lead_high": quantity(lead[-1][1], "V", 4), "flat": quantity(at[70] - at[40], "V", 1)}
    series = (Series("lithium iron phosphate", inside, "dashed", markers=True), Series("lead, flooded", lead, "solid", markers=True))
    return Figure("", "", Axis("state of charge", "%", 0, 100), Axis("voltage at rest", "V", 11.5, 13.5), series), values


def _rest(name):
    return tuple((round(100 * row["state_of_charge"]), row["voltage"]) for row in tables.load(name).values)
