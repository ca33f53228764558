"""The call from the road: today's readings against the baseline, and tonight on the plan's own battery.

measure   readings of a meter and a clamp, with the plan's battery and its baseline card
tonight   one wish, with the plan's battery, inverter and loads

Each gives the texts its calculator starts with; what is typed goes over them.
"""

import re

from calc.calculators import tonight as tonight_calculator
from calc.plan import week as week_of
from calc.plan.fill import typed
from calc.plan.shed import energies
from calc.plan.steps import answer

FORMS = {"measure": "measure", "tonight": "tonight"}


def start(run, form):
    """The texts a form starts with.

    Parameters
    ----------
    run : Run
        A plan that was run.
    form : str
        "measure" or "tonight".

    Returns
    -------
    dict of str
        Field name to text.
    """
    return {name: text for name, text in {"measure": _measure, "tonight": _tonight}[form](run).items() if text}


def ask(run, form, texts):
    """Answer one call.

    Parameters
    ----------
    run : Run
        A plan that was run.
    form : str
        "measure" or "tonight".
    texts : dict of str
        What the caller says, by field.

    Returns
    -------
    tuple
        (Result or None, problems).
    """
    return answer(FORMS[form], {**start(run, form), **texts})


def _bank(run):
    capacity = run.choices.get("capacity")
    return {"chemistry": run.plan["battery"].get("chemistry", ""), "capacity": capacity.words if capacity else ""}


def _measure(run):
    card = run.plan["baseline"]
    return {
        **_bank(run),
        "baseline_battery": card.get("battery_resistance", ""),
        "baseline_cable": card.get("cable_resistance", ""),
        "baseline_standby": card.get("standby_power", ""),
    }


def _tonight(run):
    card, week = run.plan["baseline"], run.part("bad-week").texts
    loads = energies(run)
    musts = [(one, row, energy) for one, row, energy, must in loads if must or _never(row)]
    others = [row for _, row, _, must in loads if not must and not _never(row) and row.hours_per_day]
    through = [row for _, row, _ in musts if row.supply == "ac"]
    volts = run.choices.get("voltage")
    return {
        **_bank(run),
        **{name: week.get(name, "") for name in ("depth_limit", "rating", "standby_power", "efficiency_full", "efficiency_peak", "points", "cut_out", "battery_current_limit")},
        "voltage_nominal": volts.words if volts else "",
        "battery_resistance": card.get("battery_resistance", "") or week.get("battery_resistance", ""),
        "path_resistance": card.get("cable_resistance", "") or week.get("path_resistance", ""),
        "must_haves": typed(sum(energy for *_, energy in musts), "Wh") if loads else "",
        "power_other": typed(sum(map(week_of.power_of, through)), "W") if through else "",
        "inverter_needed": "yes" if through else "no",
        "sheddable": ", ".join(_use(row) for row in others),
        "medical": {"with-fallback": "fallback", "no-fallback": "no-fallback"}.get(run.own_choice("who", "medical"), ""),
    }  # fmt: skip


def _never(row):
    """Whether its name says that it never goes off."""
    return re.search(tonight_calculator.NEVER, row.name, re.IGNORECASE) is not None


def _use(row):
    """A load as the list of what could go off takes it: its mean draw over its hours."""
    name = re.sub(r"[\d,;]+", "", row.name).strip() or "load"
    return f"{name} {typed(week_of.power_of(row) * row.duty, 'W')} {typed(row.hours_per_day, 'h')}"
