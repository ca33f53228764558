"""What to switch off in a bad week, in which order, and what each step brings.

Ranked by the energy it saves, the largest first; what must always run is never on the list. In front
stands the inverter itself, where it is on with nothing to do.
"""

from dataclasses import dataclass

from calc.calculators import load_list, losses, trip
from calc.calculators.form import read_inputs
from calc.plan import sections, week


@dataclass(frozen=True)
class Off:
    """One more thing switched off, and the bad week with it and all before it off; SI units."""

    name: str
    energy_per_day: float
    charge_lowest: float
    energy_unmet: float


def energies(run):
    """Energy of each load from the battery.

    Parameters
    ----------
    run : Run
        A plan that was run.

    Returns
    -------
    list of tuple
        (load as typed, load as read, energy a day [J], whether it must always run); empty
        where the loads have no answer.
    """
    if run.result("loads") is None:
        return []
    v = read_inputs(load_list.FIELDS, (), run.part("loads").texts).values
    a, b = losses.terms(v)
    musts = [sections.MUST.read(one.get("must", ""))[0] == "yes" for one in run.plan["loads"]]
    return [(one, row, load_list.energy(v, row, a, b)[1], must) for one, row, must in zip(run.plan["loads"], v.loads, musts)]


def order(run):
    """What to switch off, until the week holds or nothing is left.

    Parameters
    ----------
    run : Run
        A plan that was run.

    Returns
    -------
    list of Off
        Empty where all needs are met, or the week has no answer.
    """
    result = run.result("bad-week")
    if result is None or result.output("energy_unmet").value < 3600.0:
        return []
    texts, steps = dict(run.part("bad-week").texts), []
    if run.through and run.part("bad-week").texts.get("inverter_on") != "when-needed":
        texts["inverter_on"] = "when-needed"
        steps.append(_off(texts, "the inverter, while nothing on it is used", run.value("loads", "energy_standby")))
    plan, loads, left = run.plan, run.loads, sorted(energies(run), key=lambda each: -each[2])
    for typed, _, energy, must in left:
        if must or steps and steps[-1].energy_unmet < 3600.0:
            continue
        kept = [(one, row) for one, row in zip(plan["loads"], loads) if one is not typed]
        plan, loads = {**plan, "loads": [one for one, _ in kept]}, tuple(row for _, row in kept)
        texts |= {"loads": week.schedule(plan, loads, "ac"), "loads_dc": week.schedule(plan, loads, "dc")}
        if not texts["loads"] and not texts["loads_dc"]:
            break
        steps.append(_off(texts, typed.get("name", typed["id"]), energy))
    return steps


def _off(texts, name, energy):
    v = read_inputs(trip.CALCULATOR.fields, trip.CALCULATOR.alternatives, texts).values
    follow, sources, fixed = trip.follower(v)
    draws = trip.powers_drawn(v, v.standby_power, v.rating, v.inverter_on == "all-day")
    trace, must, other, *_ = follow(*draws, trip.together(*sources))
    return Off(name, energy, max(min(trace), 0.0) / fixed["full"], must + other)
