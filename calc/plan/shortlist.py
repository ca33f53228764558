"""A catalogue against a plan: each unit through the plan's own days.

Battery, cable, sources and loads stay the plan's; only the inverter changes. A unit passes, or
the reasons it does not stand in words for a customer.
"""

from dataclasses import dataclass, replace
from types import SimpleNamespace

from calc.calculators import appliances, chemistry, losses, trip, waveform
from calc.calculators.form import read_inputs
from calc.errors import FieldProblem, InputProblems
from calc.physics import circuit, inverter
from calc.plan.fill import typed
from calc.units import format_quantity as say

SAME_VOLTAGE = 0.08  # either way: 12.8 V on the sheet is a 12 V unit
SAME_AC = 0.1  # either way, EN 50160
CHUNK = 25  # units between two reports of progress
SURGE_USUAL = 2.0  # of the rating, where a sheet does not say; common practice
DAY = 86400.0

RANKINGS = {
    "energy": "least energy a day",
    "price": "lowest price",
    "mass": "least mass",
    "voltage": "highest voltage at the worst start",
    "rating": "smallest rating",
}
"""What a reader may rank by."""


@dataclass(frozen=True)
class Verdict:
    """One unit in one plan; SI units, None where there is nothing to give."""

    unit: object
    passes: bool
    reasons: tuple  # why not
    notes: tuple
    energy_per_day: float | None
    voltage_lowest: float | None
    charge_lowest: float | None
    energy_unmet: float | None
    smallest: bool = False
    charge_over_smallest: float | None = None  # C a day more than the smallest that passes


@dataclass(frozen=True)
class Days:
    """What every unit is held against: read once from a run."""

    trip: SimpleNamespace
    follow: object
    offered: list
    start_power: float
    start_factor: float
    running_apparent: float
    rating_needed: float
    surge_needed: float
    starting_time: float
    path: SimpleNamespace
    voltage: float
    region: tuple
    waves: dict


def prepare(run):
    """The plan's days, for `judge`.

    Parameters
    ----------
    run : Run
        A plan that was run.

    Returns
    -------
    Days
        Everything that stays the same from unit to unit.

    Raises
    ------
    InputProblems
        Where the plan does not come as far as its bad week.
    """
    if any(run.result(name) is None for name in ("loads", "size", "path", "bad-week")):
        first = next((part for part in run.parts.values() if part.result is None and (part.needs or part.problems)), run.part("size"))
        words = "; ".join((*first.needs, *(str(one) for one in first.problems))) or first.idle
        raise InputProblems([FieldProblem("plan", f"cannot be held against units yet: {words}")])
    week = run.part("bad-week").texts
    v = read_inputs(trip.CALCULATOR.fields, trip.CALCULATOR.alternatives, week).values
    follow, sources, _ = trip.follower(v)
    start = run.result("start") or run.result("path")
    path = SimpleNamespace(
        rest=start.input("voltage_open_circuit").value, resistance=start.output("resistance_total").value,
        limit=start.input("battery_current_limit").value, cut_out=start.input("cut_out").value,
    )  # fmt: skip
    value = run.value
    return Days(
        v, follow, trip.together(*sources), value("loads", "power_starting"), value("loads", "power_starting") / value("loads", "apparent_power_starting"),
        value("loads", "apparent_power_running"), value("size", "rating_required"), value("size", "surge_required"), run.starting_time(),
        path, run.choices["voltage"].value, _region(run.region), _waves(run),
    )  # fmt: skip


def _region(name):
    volts, _, hertz, _ = name.split("-")
    return float(volts), float(hertz)


def _waves(run):
    """Kinds of appliance in the plan by the names of its loads."""
    kinds = {}
    for one, row in zip(run.plan["loads"], run.loads):
        entry = appliances.table().get(one.get("appliance", ""))
        if row.supply == "ac" and entry and entry["waveform_class"] in waveform.APPLIANCES:
            kinds.setdefault(entry["waveform_class"], []).append(row.name)
    return kinds


def judge(days, unit):
    """Hold one unit against the plan.

    Parameters
    ----------
    days : Days
        From `prepare`.
    unit : Unit
        From the catalogue.

    Returns
    -------
    Verdict
        Without its place in the ranking.
    """
    reasons, notes = _of_sheet(days, unit)
    v = SimpleNamespace(**{**vars(days.trip), "rating": unit.rating, "standby_power": unit.standby, "efficiency_full": unit.efficiency_full, "efficiency_peak": unit.efficiency_peak, "points": None})
    volts = None
    if abs(unit.voltage_dc / days.voltage - 1) < SAME_VOLTAGE:
        volts, words = _at_start(days, unit, v)
        reasons += words
    if volts is None or unit.rating < days.running_apparent * (1 - 1e-9):  # its days would mean nothing
        return Verdict(unit, False, tuple(reasons), tuple(notes), None, volts, None, None)
    draws, musts = trip.powers_drawn(v, unit.standby, unit.rating, v.inverter_on == "all-day")
    trace, unmet_must, unmet_other, *_ = days.follow(draws, musts, days.offered)
    full = trip_full(v)
    if unmet_must >= 3600.0:
        reasons.append(f"In the bad week what must always run goes without {say(unmet_must, 'Wh', 2)}.")
    elif unmet_other >= 3600.0:
        notes.append(f"In the bad week {say(unmet_other, 'Wh', 2)} of what can wait is not met.")
    return Verdict(
        unit, not reasons, tuple(reasons), tuple(notes), sum(draws) * v.step, volts,
        max(min(trace), 0.0) / full, unmet_must + unmet_other,
    )  # fmt: skip


def trip_full(v):
    """Energy in the plan's full battery.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the trip's fields.

    Returns
    -------
    float
        [J].
    """
    return v.capacity * chemistry.facts(v.chemistry).voltage_cell * chemistry.cells(v.chemistry, v.voltage_nominal)


def _of_sheet(days, unit):
    """Reasons and notes that its sheet gives away."""
    reasons, notes = [], []
    if abs(unit.voltage_dc / days.voltage - 1) >= SAME_VOLTAGE:
        reasons.append(f"It is made for a battery of {typed(unit.voltage_dc, 'V')}; this plan's has {typed(days.voltage, 'V')}.")
    volts, hertz = days.region
    if unit.voltage_ac is not None and abs(unit.voltage_ac / volts - 1) > SAME_AC or unit.frequency is not None and abs(unit.frequency - hertz) > 1:
        gives = " ".join(typed(value, unit_) for value, unit_ in ((unit.voltage_ac, "V"), (unit.frequency, "Hz")) if value is not None)
        reasons.append(f"It gives {gives}; the appliances are made for {typed(volts, 'V')} {typed(hertz, 'Hz')}.")
    if unit.rating < days.rating_needed * (1 - 1e-9):
        needs = f"What runs together needs {say(days.rating_needed, 'VA')}, with room on top and warm as it stands"
        reasons.append(f"{needs}; it is made for {typed(unit.rating, 'VA')}.")
    surge = unit.surge if unit.surge is not None else SURGE_USUAL * unit.rating
    if unit.surge is not None and unit.surge_time is not None and unit.surge_time < days.starting_time:
        surge = unit.rating
        notes.append(f"Its surge lasts {typed(unit.surge_time, 's')}, shorter than a start here: it does not count.")
    if surge < days.surge_needed * (1 - 1e-9):
        reasons.append(f"The worst start needs {say(days.surge_needed, 'VA')} for a moment; it gives {say(surge, 'VA')}.")
    elif unit.surge is None:
        notes.append("Its surge is not on the sheet: twice the rating was taken. Ask for it.")
    if unit.wave in ("three-level", "square"):
        _of_wave(days, reasons, notes)
    elif not unit.wave:
        notes.append("The shape of its output is not on the sheet: ask whether it is a sine.")
    if unit.assumed:
        notes.append("Its efficiency is not on the sheet: a common one was taken.")
    return reasons, notes


def _of_wave(days, reasons, notes):
    """What its steps mean to the plan's loads."""
    never = [name for kind, names in days.waves.items() if waveform.APPLIANCES[kind].level == "stop" for name in names]
    badly = [name for kind, names in days.waves.items() if waveform.APPLIANCES[kind].level == "caution" for name in names]
    if never:
        reasons.append(f"Its output has steps, and they are dangerous for: {', '.join(never)}.")
    if badly:
        notes.append(f"Its output has steps: {', '.join(badly)} may run badly or hot.")


def _at_start(days, unit, v):
    """Voltage at the inverter at the worst start, and what is wrong with it."""
    a, b = losses.terms(v)
    power = inverter.power_dc(days.start_power, days.start_factor, unit.rating, unit.standby, a, b)
    try:
        current = circuit.current_constant_power(power, days.path.rest, days.path.resistance, 0.0)
    except ValueError:
        return None, ["At the worst start the battery's voltage collapses."]
    volts = circuit.voltage_mean(days.path.rest, days.path.resistance, current)
    cut_out = unit.cut_out if unit.cut_out is not None else days.path.cut_out
    wrong = []
    if volts < cut_out:
        wrong.append(f"At the worst start its voltage falls to {say(volts, 'V')}; it switches off at {typed(cut_out, 'V')}.")
    if days.path.limit is not None and current > days.path.limit:
        wrong.append(f"At the worst start it draws {say(current, 'A')}; the battery's protection opens at {typed(days.path.limit, 'A')}.")
    return volts, wrong


def screen(run, units):
    """Judge a catalogue, reporting on the way.

    Parameters
    ----------
    run : Run
        A plan that was run.
    units : sequence of Unit
        From the catalogue.

    Returns
    -------
    iterator of tuple
        (how many are done, of how many, the Verdicts since the last report).
    """
    days = prepare(run)
    for first in range(0, len(units), CHUNK):
        some = [judge(days, unit) for unit in units[first : first + CHUNK]]
        yield min(first + CHUNK, len(units)), len(units), some


def ranked(verdicts, by, voltage):
    """Verdicts in order: those that pass first, by what the reader chose; then the others.

    Parameters
    ----------
    verdicts : sequence of Verdict
        All of them.
    by : str
        One of RANKINGS.
    voltage : float
        The plan's battery voltage, for amp-hours, [V].

    Returns
    -------
    list of Verdict
        The smallest that passes marked, and for each the amp-hours a day beyond it.
    """
    passing = [one for one in verdicts if one.passes]
    smallest = min(passing, key=lambda one: (one.unit.rating, one.energy_per_day, one.unit.row), default=None)

    def finished(one):
        over = None if smallest is None or one.energy_per_day is None else (one.energy_per_day - smallest.energy_per_day) / voltage
        return replace(one, smallest=one is smallest, charge_over_smallest=over)

    return [finished(one) for one in sorted(verdicts, key=lambda one: (not one.passes, _key(one, by), one.unit.rating, one.unit.row))]


def _key(one, by):
    value = {"energy": one.energy_per_day, "price": one.unit.price, "mass": one.unit.mass, "rating": one.unit.rating}.get(by)
    if by == "voltage":
        value = None if one.voltage_lowest is None else -one.voltage_lowest
    return (value is None, value or 0.0)


def whole(run, units, by="energy"):
    """The whole shortlist at once.

    Parameters
    ----------
    run : Run
        A plan that was run.
    units : sequence of Unit
        From the catalogue.
    by : str
        One of RANKINGS.

    Returns
    -------
    list of Verdict
        In order.
    """
    found = [one for _, _, some in screen(run, units) for one in some]
    return ranked(found, by, run.choices["voltage"].value) if found else []
