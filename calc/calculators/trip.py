"""trip: does it last the trip?

Averages hide a run of dull days and the night between two sunny ones. The battery is
followed through the whole trip in short steps; three changes are followed beside it.
"""

import math
from dataclasses import replace
from functools import cache

from calc.calculators import chemistry, inverter_size, losses
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.calculators.schedule import DAY, DAYS_MOST, Daily, DayList, Schedule, pieces
from calc.errors import FieldProblem
from calc.physics import battery, inverter, sun, trip
from calc.result import Axis, Figure, Level, Mark, Series
from calc.units import format_quantity as say
from calc.units import read_quantity
from calc.units import restate_quantity as restate

CUT_OUT_12 = 10.5  # V for each 12 V, where the cut-out is left out; common practice
GRID = 40  # steps of the rest-voltage curve the trip is followed on
PERIODS = (("energy_day", 8, 18), ("energy_evening", 18, 23), ("energy_night", 23, 8))  # hours of the three sums
LOW_TOO_LONG = 2 * DAY  # at or below the floor: a lead-acid battery is harmed; common practice
RESIDUE = 1e-12  # of the full battery, for each step: less is what sums of floats leave over
EMPTY = 0.01  # of the full battery: the protection of a lithium battery opens about there; common practice
POINTS_DRAWN = 112  # of a line in the figure

SUN = Daily(
    "sun_hours", "Sun, peak-sun hours day by day", "h", default="4 h", example="5, 5, 5, 4, 2, 1.2, 1, 1.5, 3, 4.5, 5, 5, 4, 3.8",
    minimum="0 h", maximum="14 h", hint="One figure a day, with commas; a single one holds for every day. Put the worst week you expect in it.",
)  # fmt: skip

FIELDS = (
    SUN,
    Field("panel_power", "Solar panels, rated power together", "W", default="0 W", example="600 W", minimum="0 W", maximum="20 kW"),
    Schedule("loads", "Loads through the inverter, by the hour", "W", example="7:30-7:35: 1200 W, 13-16: 35 W, 18-22: 60 W", minimum="0 W", maximum="20 kW",
             hint="From-to: power, with commas. Put must behind what has to stay on."),
    Schedule("loads_dc", "Loads straight from the battery, by the hour", "W", example="0-24: 18 W must, 18-23: 10 W", minimum="0 W", maximum="20 kW",
             hint="The same, for a fridge, lights and pumps on DC."),
    replace(chemistry.CAPACITY, default="200 Ah", tolerance="10 %", basis="common practice: capacity falls with age"),
    replace(chemistry.CHEMISTRY, example=chemistry.LITHIUM),
    replace(chemistry.DEPTH_LIMIT, example="90 %"),
    Choice("inverter_on", "The inverter is on", {"when-needed": "only while something is plugged in and on", "all-day": "all day and night"}, default="all-day"),
    losses.RATING,
    replace(losses.STANDBY_POWER, more=False, tolerance="", basis=""),
    Field("days", "Days of the trip", "", minimum="1", maximum=str(DAYS_MOST), hint="Left blank: as many as the sun list has.", more=True),
    Field("step", "Step of time", "min", default="15 min", minimum="5 min", maximum="60 min", more=True),
    Field("use_scale", "Use, against what is listed", "%", default="100 %", minimum="10 %", maximum="300 %",
          tolerance="10 %", basis="common practice: habits differ from day to day", more=True),
    Field("energy_day", "AC energy by day, 8 to 18 h", "Wh", minimum="0 Wh", maximum="100 kWh", hint="The three sums stand in place of the AC loads by the hour.", more=True),
    Field("energy_evening", "AC energy in the evening, 18 to 23 h", "Wh", minimum="0 Wh", maximum="100 kWh", more=True),
    Field("energy_night", "AC energy at night, 23 to 8 h", "Wh", minimum="0 Wh", maximum="100 kWh", more=True),
    Field("derate", "Panel yield at the battery's posts", "", default="0.70", minimum="0.1", maximum="1", tolerance="12 %",
          basis="common practice: 0.6 to 0.8 of rated power times sun-hours, heat included", hint="All losses up to the posts; the battery's own are counted apart.", more=True,
          unknown=Unknown("0.70", "0.6", "0.8", "common practice: rated power times sun-hours, heat included")),
    Field("sunrise", "Sunrise, hours from midnight", "h", default="6 h", minimum="0 h", maximum="12 h", more=True),
    Field("sunset", "Sunset, hours from midnight", "h", default="18 h", minimum="12 h", maximum="24 h", more=True),
    Field("state_of_charge_start", "State of charge at the start", "%", default="100 %", minimum="1 %", maximum="100 %", more=True,
          unknown=Unknown("80 %", "50 %", "100 %", "common practice: from half to full")),
    replace(chemistry.VOLTAGE_NOMINAL, more=True),
    chemistry.RESISTANCE,
    chemistry.RESISTANCE_RISE,
    Field("path_resistance", "Cable, both ways, fuse and joints", "mΩ", default="4 mΩ", minimum="0 mΩ", maximum="1000 mΩ", more=True,
          unknown=Unknown("4 mΩ", "2 mΩ", "8 mΩ", "common practice: 2 m of cable, good to poor joints")),
    Field("cut_out", "Inverter's low-voltage cut-out", "V", minimum="5 V", maximum="60 V", hint="Left blank: 10.5 V for each 12 V of battery.", more=True),
    Field("battery_current_limit", "Current limit of a protected battery", "A", minimum="0 A", maximum="2000 A", above_minimum=True,
          hint="On a lithium battery's label. Left blank: its usual largest current.", more=True),
    Field("charge_current_limit", "Largest current it may be charged with", "A", minimum="0 A", maximum="2000 A", above_minimum=True,
          hint="Left blank: usual for its kind and capacity.", more=True),
    Field("temperature", "Battery temperature while it charges", "°C", default="20 °C", minimum="-30 °C", maximum="60 °C", hint="At its coldest.", more=True,
          unknown=Unknown("20 °C", "5 °C", "30 °C", "common practice: indoors in use; a frosty place has to be measured")),
    chemistry.by_chemistry(
        Field("taper_time", "Time constant of the charge taper", "h", default="unknown", minimum="0.01 h", maximum="10 h",
              hint="One hour is the ampere-hour law of lead-acid charging.", more=True),
        lambda kind: Unknown(*(["0.1 h"] * 3 if kind.chemistry == chemistry.LITHIUM else ["1 h"] * 3), f"common practice for {chemistry.WORDS[kind.chemistry]}"),
    ),
    Field("driving_current", "Charging current while driving", "A", minimum="0 A", maximum="500 A", above_minimum=True, hint="Output of the DC-DC unit.", more=True),
    DayList("driving_days", "Days with driving", hint="Such as 1, 4, 8 or 3-5, or all.", more=True),
    Field("driving_start", "Driving starts at, hours from midnight", "h", default="10 h", minimum="0 h", maximum="24 h", more=True),
    Field("driving_hours", "Hours of driving on such a day", "h", default="2 h", minimum="0 h", maximum="24 h", above_minimum=True, more=True),
    Field("charger_current", "Charger's output on mains or generator", "A", minimum="0 A", maximum="500 A", above_minimum=True, more=True),
    DayList("mains_days", "Days with mains or generator", hint="Such as 1, 4, 8 or 3-5, or all.", more=True),
    Field("mains_start", "Mains or generator from, hours from midnight", "h", default="17 h", minimum="0 h", maximum="24 h", more=True),
    Field("mains_hours", "Hours of mains or generator on such a day", "h", default="2 h", minimum="0 h", maximum="24 h", above_minimum=True, more=True),
    Field("panel_extra", "One more panel, to compare", "W", default="150 W", minimum="1 W", maximum="2000 W", more=True),
    Field("rating_smaller", "One size smaller inverter, to compare", "VA", minimum="20 VA", maximum="20 kVA", hint="Left blank: the next common size down.", more=True),
    *(replace(one, tolerance="", basis="") for one in losses.FIELDS[2:4]),
    losses.POINTS,
)  # fmt: skip

WHAT_IFS = (("off_when_idle", "with the inverter off when idle"), ("more_panel", "with one more panel"), ("smaller_inverter", "with one size smaller inverter"))

ANSWERS = (
    Answer("state_of_charge_lowest", "Lowest state of charge", "%", main=True, least=lambda v: 0.0, most=lambda v: 1.0),
    Answer("energy_unmet", "Need not met, all in all", "Wh", main=True, least=lambda v: 0.0),
    Answer("hours_below_floor", "Hours at or below the floor", "h", main=True, least=lambda v: 0.0, most=lambda v: _days(v) * DAY),
    Answer("voltage_lowest", "Lowest voltage under load", "V", main=True),
    Answer("energy_unmet_must", "Need of must-haves not met", "Wh", least=lambda v: 0.0),
    Answer("energy_unmet_other", "Other need not met", "Wh", least=lambda v: 0.0),
    Answer("days_until_empty", "Days until the floor is reached", "day", least=lambda v: 0.0, most=lambda v: _days(v) * DAY),
    Answer("day_lowest", "Days until the lowest point", "day", least=lambda v: 0.0, most=lambda v: _days(v) * DAY),
    Answer("days_without_sources", "Days it lasts with nothing charging it", "day", least=lambda v: 0.0),
    Answer("hours_cut_out", "Hours the inverter is off by its cut-out", "h", least=lambda v: 0.0, most=lambda v: _days(v) * DAY),
    Answer("state_of_charge_end", "State of charge at the end", "%", least=lambda v: 0.0, most=lambda v: 1.0),
    Answer("energy_use_per_day", "Drawn from the DC side a day, if all is met", "Wh", least=lambda v: 0.0),
    Answer("energy_sources_per_day", "Offered by the sources a day, on average", "Wh", least=lambda v: 0.0),
    Answer("energy_solar", "From the sun, whole trip", "Wh", least=lambda v: 0.0),
    Answer("energy_driving", "From driving, whole trip", "Wh", least=lambda v: 0.0),
    Answer("energy_mains", "From mains or generator, whole trip", "Wh", least=lambda v: 0.0),
    Answer("energy_unused", "Offered and not taken, whole trip", "Wh", least=lambda v: 0.0),
    Answer("energy_delivered", "To the loads, whole trip", "Wh", least=lambda v: 0.0),
    Answer("loss_inverter", "Lost in the inverter, whole trip", "Wh", least=lambda v: 0.0),
    Answer("loss_battery", "Lost in battery and cable, whole trip", "Wh", least=lambda v: 0.0),
    *(
        answer
        for name, words in WHAT_IFS
        for answer in (
            Answer(f"energy_unmet_{name}", f"Need not met {words}", "Wh", least=lambda v: 0.0),
            Answer(f"state_of_charge_lowest_{name}", f"Lowest state of charge {words}", "%", least=lambda v: 0.0, most=lambda v: 1.0),
        )
    ),
)


def _check(v):
    chemistry.check_nominal("voltage_nominal", v.voltage_nominal)
    losses.check(v)
    _check_days(v)
    if DAY / v.step % 1 > 1e-6:
        raise FieldProblem("step", f"{restate(v.step, 'min')} does not divide a day: enter 5, 10, 15, 20, 30 or 60 min")
    if not _loads(v) and not v.loads_dc:
        raise FieldProblem("loads", "enter what runs, for example 18-22: 120 W, here or under the loads straight from the battery")
    if v.sunset - v.sunrise < 3600:
        raise FieldProblem("sunset", "must lie at least an hour after sunrise")
    most = max(ac for _, _, ac, *_ in _pieces(v)) * v.use_scale
    if most > v.rating * (1 + 1e-9):
        name = "loads" if v.loads else "energy_day"
        raise FieldProblem(name, f"{say(most, 'W')} at one time is above the inverter's {restate(v.rating, 'VA')}: spread it, or enter a larger rating")
    if v.rating_smaller is not None and v.rating_smaller >= v.rating:
        raise FieldProblem("rating_smaller", f"must lie below the {restate(v.rating, 'VA')} of the inverter")
    full = _rest_curve(v.chemistry, chemistry.blocks(v.voltage_nominal))[-1]
    if v.cut_out is not None and v.cut_out >= full:
        raise FieldProblem("cut_out", f"must lie below the {say(full, 'V')} of this battery full and at rest: the inverter would never start")


def _check_days(v):
    count = _days(v)
    if v.days is not None and v.days % 1:
        raise FieldProblem("days", "enter whole days")
    if 1 < len(v.sun_hours) < count:
        raise FieldProblem("sun_hours", f"holds {len(v.sun_hours)} days for a trip of {count}: enter one a day, or a single one for all")
    for days, current, words in (("driving_days", "driving_current", "while driving"), ("mains_days", "charger_current", "of the charger")):
        listed = getattr(v, days)
        if listed is not None and getattr(v, current) is None:
            raise FieldProblem(current, f"enter the current {words}, or leave the days blank")
        if listed is None and getattr(v, current) is not None:
            raise FieldProblem(days, "enter the days, such as 1, 4, 8, or all")
        if listed not in (None, "all") and listed[-1] > count:
            raise FieldProblem(days, f"names day {listed[-1]:.0f} of a trip of {count}")


def _days(v):
    return int(v.days) if v.days is not None else len(v.sun_hours)


def _sun_hours(v):
    """Peak-sun time of each day of the trip."""
    return v.sun_hours * _days(v) if len(v.sun_hours) == 1 else v.sun_hours[: _days(v)]


def _loads(v):
    """AC loads by the hour: as listed, or the three sums spread over their hours."""
    sums = [(getattr(v, name), start * 3600.0, end * 3600.0) for name, start, end in PERIODS]
    if all(energy is None for energy, _, _ in sums):
        return v.loads or ()
    return tuple((start, end, energy / ((end - start) % DAY), False) for energy, start, end in sums if energy)


def _pieces(v):
    return pieces(_loads(v), v.loads_dc or (), v.step)


@cache
def _rest_curve(kind, count):
    """Rest voltages of a bank at even steps of its state of charge, not below where its protection opens."""
    voltages, states = chemistry.rest_curve(kind)
    facts = chemistry.facts(kind)
    least = facts.voltage_discharge_min * facts.cells
    return [count * max(battery.voltage_at_rest(place / GRID, voltages, states), least) for place in range(GRID + 1)]


def powers_drawn(v, standby, rating, all_day):
    """DC power of each step of a day with everything on, and with the must-haves alone.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the fields, in SI units; its efficiencies hold for any rating.
    standby : float
        Of the inverter, [W].
    rating : float
        Of the inverter, [VA].
    all_day : bool
        Whether it stays on with nothing on it.

    Returns
    -------
    tuple of list
        [W].
    """
    a, b = losses.terms(v)
    count = round(DAY / v.step)
    draws, musts = [0.0] * count, [0.0] * count
    for place, share, ac, ac_must, dc, dc_must in _pieces(v):
        ac, ac_must = ac * v.use_scale, ac_must * v.use_scale
        drawn = inverter.power_dc(ac, 1.0, rating, standby, a, b) if ac or all_day else 0.0
        must = inverter.power_dc(ac_must, 1.0, rating, standby, a, b) if ac_must else 0.0
        draws[place] += share * (drawn + dc * v.use_scale)
        musts[place] += share * (must + dc_must * v.use_scale)
    return draws, musts


def _needs(v):
    """Powers of each step of a day: what all loads use, the must-haves, all DC loads, the must-haves among them."""
    sums = [[0.0] * round(DAY / v.step) for _ in range(4)]
    for place, share, ac, ac_must, dc, dc_must in _pieces(v):
        for total, power in zip(sums, (ac + dc, ac_must + dc_must, dc, dc_must)):
            total[place] += share * power * v.use_scale
    return sums


def _sources(v, panel_power):
    """Power offered at the posts in each step of the trip by sun, driving and mains."""
    count = round(DAY / v.step)
    shape = [sun.day_share(place * v.step, (place + 1) * v.step, v.sunrise, v.sunset) / v.step for place in range(count)]
    solar = [panel_power * v.derate * time * share for time in _sun_hours(v) for share in shape]
    kind = chemistry.facts(v.chemistry)
    volts = kind.voltage_charge * chemistry.cells(v.chemistry, v.voltage_nominal)
    driving = _charging(v, v.driving_days, v.driving_start, v.driving_hours, v.driving_current * volts) if v.driving_days else None
    mains = _charging(v, v.mains_days, v.mains_start, v.mains_hours, v.charger_current * volts) if v.mains_days else None
    return solar, driving, mains


def _charging(v, days, start, hours, power):
    """Power of a charger in each step of the trip. Hours past midnight are cut off."""
    count = round(DAY / v.step)
    shares = [min(max((min(start + hours, (place + 1) * v.step) - max(start, place * v.step)) / v.step, 0.0), 1.0) for place in range(count)]
    on = [power * share for share in shares]
    return [one for day in range(1, _days(v) + 1) for one in (on if days == "all" or day in days else [0.0] * count)]


def together(solar, *others):
    """Power offered by all sources in each step.

    Parameters
    ----------
    solar : list of float
        From the sun, [W].
    others : list of float or None
        From each other source, [W].

    Returns
    -------
    list of float
        [W].
    """
    total = solar
    for other in others:
        if other is not None:
            total = [one + more for one, more in zip(total, other)]
    return total


def _limits(v):
    """Largest currents out of the battery and into it."""
    kind = chemistry.facts(v.chemistry)
    out = v.battery_current_limit
    if out is None:
        out = kind.discharge_rate_max * v.capacity if v.chemistry == chemistry.LITHIUM else math.inf
    into = v.charge_current_limit if v.charge_current_limit is not None else kind.charge_rate_max * v.capacity
    return out, 0.0 if v.temperature < kind.charge_temperature_min else into


def _energy_full(v):
    kind = chemistry.facts(v.chemistry)
    return v.capacity * kind.voltage_cell * chemistry.cells(v.chemistry, v.voltage_nominal)


def follower(v):
    """What follows this trip with one inverter or another, and what it follows.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the fields, in SI units.

    Returns
    -------
    tuple
        The function, from the two lists of `powers_drawn` and the power offered by the sources;
        then powers offered by sun, driving and mains; and a dict of what stays the same.
    """
    full, days = _energy_full(v), _days(v)
    needs, needs_must, off, off_must = (one * days for one in _needs(v))
    floor, start = full * (1 - v.depth_limit), full * v.state_of_charge_start
    current_limit, charge_limit = _limits(v)
    sources = _sources(v, v.panel_power)
    cut_out = v.cut_out if v.cut_out is not None else CUT_OUT_12 * chemistry.blocks(v.voltage_nominal)
    resistance = chemistry.resistance(v, v.voltage_nominal, v.capacity) + v.path_resistance
    rest = _rest_curve(v.chemistry, chemistry.blocks(v.voltage_nominal))
    share = trip.taper_share(v.step, v.taper_time)
    efficiency = chemistry.facts(v.chemistry).efficiency_coulombic

    def follow(draws, musts, offered):
        return trip.follow(
            offered, draws * days, musts * days, off, off_must, needs, needs_must, v.step, start, full, floor,
            rest, resistance, cut_out, current_limit, charge_limit, efficiency, share,
        )  # fmt: skip

    def followed(draws, musts, offered):
        trace, *sums = follow(draws, musts, offered)
        nothing = RESIDUE * full * len(trace)
        return trace, *(0.0 if abs(one) < nothing else one for one in sums[:6]), *sums[6:]

    return followed, sources, {"full": full, "floor": floor, "start": start, "resistance": resistance, "cut_out": cut_out}


def _evaluate(v):
    days = _days(v)
    follow, (solar, driving, mains), fixed = follower(v)
    full, floor, start = fixed["full"], fixed["floor"], fixed["start"]
    offered = together(solar, driving, mains)
    draws, musts = powers_drawn(v, v.standby_power, v.rating, v.inverter_on == "all-day")
    trace, unmet_must, unmet_other, delivered, loss_inverter, loss_battery, unused, volts, low, off_time = follow(draws, musts, offered)
    lowest = min(trace)
    use = sum(draws) * v.step
    out = {
        "trace": trace, "offered": offered, "draws": draws, "start": start, "full": full, "resistance": fixed["resistance"], "cut_out": fixed["cut_out"], "rating_smaller": _smaller(v),
        "state_of_charge_lowest": max(min(lowest, start) / full, 0.0), "day_lowest": (trace.index(lowest) + 1) * v.step if lowest < start else 0.0,
        "energy_unmet": unmet_must + unmet_other, "energy_unmet_must": unmet_must, "energy_unmet_other": unmet_other,
        "hours_below_floor": low, "voltage_lowest": volts, "hours_cut_out": off_time,
        "days_until_empty": _first_low(trace, floor, v.step), "days_without_sources": max(start - floor, 0.0) / use * DAY if use else None,
        "state_of_charge_end": max(trace[-1], 0.0) / full, "energy_use_per_day": use, "energy_sources_per_day": sum(offered) * v.step / days,
        "energy_solar": sum(solar) * v.step, "energy_driving": sum(driving or [0.0]) * v.step, "energy_mains": sum(mains or [0.0]) * v.step,
        "energy_unused": max(unused, 0.0), "energy_delivered": delivered, "loss_inverter": loss_inverter, "loss_battery": loss_battery,
    }  # fmt: skip
    return out | _what_ifs(v, follow, (draws, musts), offered, solar)


def _what_ifs(v, follow, tiers, offered, solar):
    """The three changes, each followed through the same days."""
    smaller = _smaller(v)
    idle_off = powers_drawn(v, v.standby_power, v.rating, False)
    runs = {"off_when_idle": follow(*idle_off, offered)}
    more = v.panel_extra / v.panel_power if v.panel_power else None
    brighter = [one + more * sunny for one, sunny in zip(offered, solar)] if more else together(_sources(v, v.panel_extra)[0], offered)
    runs["more_panel"] = follow(*tiers, brighter)
    if smaller is not None:
        runs["smaller_inverter"] = follow(*powers_drawn(v, v.standby_power * smaller / v.rating, smaller, v.inverter_on == "all-day"), offered)
    out = {"trace_off_when_idle": runs["off_when_idle"][0]}
    for name, _ in WHAT_IFS:
        found = runs.get(name)
        out[f"energy_unmet_{name}"] = found and found[1] + found[2]
        out[f"state_of_charge_lowest_{name}"] = found and max(min(*found[0], _energy_full(v) * v.state_of_charge_start) / _energy_full(v), 0.0)
    return out


@cache
def _sizes():
    return tuple(read_quantity(size, "VA").likely for size in inverter_size.SERIES.split(","))


def _smaller(v):
    """The next common size down that still carries the loads, or None."""
    size = v.rating_smaller or max((one for one in _sizes() if one < v.rating * (1 - 1e-9)), default=None)
    most = max(ac for _, _, ac, *_ in _pieces(v))
    return size if size is not None and most <= size else None


def _first_low(trace, floor, step):
    return next(((place + 1) * step for place, stored in enumerate(trace) if stored <= floor * (1 + 1e-9)), None)


def _explain(case):
    _work(case)
    _judge(case)
    _advise(case)


def _work(case):
    v, o = case.values, case.outputs
    kind = chemistry.facts(v.chemistry)
    most = max(ac for _, _, ac, *_ in _pieces(v)) * v.use_scale
    if most:
        losses.explain(case)
        losses.explain_power_dc(case, most, 1.0, losses.power_dc(v, most, 1.0))
    cells = float(chemistry.cells(v.chemistry, v.voltage_nominal))
    case.step("E_full", "energy in the full battery", "C*n*V_cell", {"C": (v.capacity, "Ah"), "n": (cells, ""), "V_cell": (kind.voltage_cell, "V")}, o.full, "Wh", "practice", "nominal cell voltage")
    full = {"E_full": (o.full, "Wh")}
    case.step("E_floor", "energy at the floor", "E_full*(1 - d)", {**full, "d": (v.depth_limit, "%")}, o.full * (1 - v.depth_limit), "Wh", "arithmetic")
    if v.panel_power:
        hours = sum(_sun_hours(v))
        case.step("E_sun", "from the sun, whole trip", "P_panel*t_sun*k", {"P_panel": (v.panel_power, "W"), "t_sun": (hours, "h"), "k": (v.derate, "")}, o.energy_solar, "Wh", "sand87")
    chemistry.explain_resistance(case, v.voltage_nominal, v.capacity, o.resistance - v.path_resistance)
    _work_step(case)
    offered = o.energy_sources_per_day * _days(v)
    case.step("q_end", "state of charge at the end: nothing is lost on the way", "(E_start + E_in - E_unused - E_loads - E_inv - E_bat)/E_full",
              {"E_start": (o.start, "Wh"), "E_in": (offered, "Wh"), "E_unused": (o.energy_unused, "Wh"), "E_loads": (o.energy_delivered, "Wh"),
               "E_inv": (o.loss_inverter, "Wh"), "E_bat": (o.loss_battery, "Wh"), **full}, o.state_of_charge_end, "%", "arithmetic", "conservation of energy")  # fmt: skip
    case.step("E_unmet", "need not met", "E_must + E_other", {"E_must": (o.energy_unmet_must, "Wh"), "E_other": (o.energy_unmet_other, "Wh")}, o.energy_unmet, "Wh", "arithmetic")


def _work_step(case):
    """The step with the largest draw on the battery, in full, where nothing was shed in it."""
    v, o = case.values, case.outputs
    draws = o.draws * _days(v)
    index = max(range(len(draws)), key=lambda place: draws[place] - o.offered[place])
    power = draws[index] - o.offered[index]
    before = o.trace[index - 1] if index else o.start
    rest = _rest_curve(v.chemistry, chemistry.blocks(v.voltage_nominal))
    place = before / o.full * GRID
    low = min(int(place), GRID - 1)
    volts = rest[low] + (rest[low + 1] - rest[low]) * (place - low)
    if power <= 0 or volts * volts <= 4 * o.resistance * power:
        return
    loaded = (volts + (volts * volts - 4 * o.resistance * power) ** 0.5) / 2
    current = power / loaded
    gone = volts * current * v.step
    if abs(before - o.trace[index] - gone) > 1e-6 * o.full:
        return
    when = _when(index * v.step)
    case.step("V", f"voltage in the hardest step, {when}", "(V_oc + sqrt(V_oc**2 - 4*R*P))/2", {"V_oc": (volts, "V"), "R": (o.resistance, "mΩ"), "P": (power, "W")}, loaded, "V", "ohm")
    case.step("I", "current in it", "P/V", {"P": (power, "W"), "V": (loaded, "V")}, current, "A", "arithmetic")
    case.step("E_step", "energy that takes out of the battery", "V_oc*I*t_step", {"V_oc": (volts, "V"), "I": (current, "A"), "t_step": (v.step, "min")}, gone, "Wh", "arithmetic")


def _when(time):
    """A time of the trip in words; midnight belongs to the day that ends."""
    day, minutes = divmod(round(time / 60), 1440)
    if day and not minutes:
        day, minutes = day - 1, 1440
    return f"day {day + 1} at {minutes // 60}:{minutes % 60:02d}"


def _judge(case):
    v, o = case.values, case.outputs
    days = f"{_days(v)} days" if _days(v) > 1 else "day"
    lowest = f"{say(o.state_of_charge_lowest, '%', 2)}"
    if o.energy_unmet < 1.0 and not o.hours_cut_out:
        when = f" on {_when(o.day_lowest)}" if o.day_lowest else ""
        kept = "everything listed runs" if o.days_until_empty is None else "everything listed runs, though the must-haves go below your floor"
        case.answer = f"It lasts the {days}: {kept}. The battery is lowest{when}, with {lowest} left."
        return
    must = "none" if o.energy_unmet_must < 1.0 else "all" if o.energy_unmet - o.energy_unmet_must < 1.0 else say(o.energy_unmet_must, "Wh", 2)
    cause = f"the battery is at its floor on {_when(o.days_until_empty)}" if o.days_until_empty is not None else "the inverter drops out under load"
    case.answer = f"It does not last the {days}: {cause}. Of the need, {say(o.energy_unmet, 'Wh', 2)} is not met, {must} of it must-haves."


def _advise(case):
    v, o = case.values, case.outputs
    lithium = v.chemistry == chemistry.LITHIUM
    kind = chemistry.facts(v.chemistry)
    if lithium and v.temperature < kind.charge_temperature_min and any(o.offered):
        case.find("lithium-cold", "stop", f"A lithium iron phosphate battery must not be charged below {restate(kind.charge_temperature_min, '°C')}: it is harmed for good, and it does not show. Nothing is charged in this answer; warm the battery first.")
    if lithium and o.state_of_charge_lowest < EMPTY:
        case.find("lithium-empty", "stop", f"This takes the lithium battery to its lowest voltage, {restate(kind.voltage_discharge_min * chemistry.cells(v.chemistry, v.voltage_nominal), 'V')}: its protection opens and everything goes dark, must-haves too. Left like that it is harmed, and charging it then can be dangerous. Plan less, or another source.")
    if o.hours_cut_out:
        case.find("drops-out", "stop", f"Under load the voltage falls below the {restate(o.cut_out, 'V')} cut-out, or the current is above the battery's limit. The inverter is off by itself for {say(o.hours_cut_out, 'h', 2)} of the trip.")
    if o.energy_unmet_must >= 1.0:
        case.find("must-have-fails", "caution", f"Must-haves go without {say(o.energy_unmet_must, 'Wh', 2)}. Plan another source for them; a medical device needs a fallback that does not hang on this battery, agreed with the clinician.")
    if o.hours_below_floor > LOW_TOO_LONG and not lithium:
        case.find("low-for-days", "caution", f"The battery stands at or below its floor for {say(o.hours_below_floor, 'h', 2)}: lead-acid that stays low for days loses capacity for good.")
    if o.energy_unmet >= 1.0 and o.energy_sources_per_day >= o.energy_use_per_day:
        case.find("average-misleads", "caution", f"On average the sources bring {say(o.energy_sources_per_day, 'Wh', 2)} a day against {say(o.energy_use_per_day, 'Wh', 2)} of use, and still it does not last. The dull days come together, and a full battery takes no more.")
    elif o.energy_unmet < 1.0 and o.state_of_charge_end < v.state_of_charge_start and o.energy_sources_per_day < o.energy_use_per_day:
        case.find("runs-down", "caution", f"It ends at {say(o.state_of_charge_end, '%', 2)} and the sources bring less than is used: a longer trip of such days ends at the floor.")
    if o.energy_unmet < 1.0 and (case.high("energy_unmet") or 0.0) >= 1.0:
        case.find("may-run-short", "caution", f"With the uncertain inputs at their bad ends up to {say(case.high('energy_unmet'), 'Wh', 2)} may go unmet.")
    case.find("what-if", "note", _what_if_words(case))
    if case.outputs.rating_smaller is None:
        case.find("no-smaller", "note", "No common size below this inverter carries the loads listed.")
    if not lithium:
        case.find("rate-effect", "note", "What a large current takes from a lead-acid battery's capacity is not in this answer: for heavy loads see how long it runs.")
    case.find("peaks-hidden", "note", f"Powers are means over {restate(v.step, 'min')}: a kettle's few minutes hide in them. Check the largest load on its own with the supply path.")
    if v.mains_days:
        case.find("generator", "caution", "A generator or an engine kills by carbon monoxide: run it outside, far from doors, windows and vents. An alarm has to work where people sleep. Mains into the vehicle's fixed wiring is for a licensed person.")


def _what_if_words(case):
    v, o = case.values, case.outputs
    names = {"off_when_idle": "With the inverter off when idle", "more_panel": f"With {restate(v.panel_extra, 'W')} more of panel"}
    if o.rating_smaller is not None:
        names["smaller_inverter"] = f"With a {restate(o.rating_smaller, 'VA')} inverter of the same make-up"
    outputs = vars(o)
    return " ".join(
        f"{words} the lowest is {say(outputs[f'state_of_charge_lowest_{name}'], '%', 2)} and {say(round(outputs[f'energy_unmet_{name}'], 3), 'Wh', 2)} is not met." for name, words in names.items()
    )


def _draw(case):
    return [_draw_charge(case), _draw_days(case)]


def _draw_charge(case):
    v, o = case.values, case.outputs
    lowest = min(range(len(o.trace)), key=o.trace.__getitem__)
    every = -(-len(o.trace) // POINTS_DRAWN)
    places = sorted({*range(every - 1, len(o.trace), every), len(o.trace) - 1, lowest})

    def line(trace):
        return ((0.0, 100 * o.start / o.full), *((round((place + 1) * v.step / DAY, 4), round(100 * trace[place] / o.full, 2)) for place in places))

    series = [Series("as planned", line(o.trace))]
    if v.inverter_on == "all-day" and o.trace_off_when_idle != o.trace:
        series.append(Series("inverter off when idle", line(o.trace_off_when_idle), dash="dashed"))
    mark = Mark(say(max(o.trace[lowest] / o.full, 0.0), "%", 2), (lowest + 1) * v.step / DAY, 100 * o.trace[lowest] / o.full)
    return Figure(
        "State of charge through the trip",
        "State of charge of the battery from the first midnight on, with the floor below which only the must-haves stay on and the lowest point.",
        Axis("time", "days", 0, _days(v)), Axis("state of charge", "%", 0, 100),
        tuple(series), (Level(f"floor {restate(1 - v.depth_limit, '%')}", 100 * (1 - v.depth_limit)),), (mark,),
    )  # fmt: skip


def _draw_days(case):
    v, o = case.values, case.outputs
    count = round(DAY / v.step)
    days = range(_days(v))
    brought = tuple((day + 1, round(sum(o.offered[day * count : (day + 1) * count]) * v.step / 3600, 1)) for day in days)
    used = o.energy_use_per_day / 3600
    top = max(used, *(energy for _, energy in brought))
    return Figure(
        "What the sources bring, day by day",
        "Energy offered by sun, driving and mains on each day, against what the loads and the inverter draw in a day.",
        Axis("day of the trip", "", 0, _days(v) + 1), Axis("energy", "Wh", 0, 1.15 * top or 1.0),
        (Series("offered by the sources", brought, bars=True), Series("drawn, if all is met", tuple((day + 1, round(used, 1)) for day in days), dash="dashed")),
    )  # fmt: skip


CALCULATOR = Calculator(
    id="trip",
    title="Does it last the trip?",
    question="Does the battery last the trip, through dull days and nights, and what would help if it does not?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
    alternatives=((("loads",), tuple(name for name, _, _ in PERIODS)),),
)
