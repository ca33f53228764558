"""inverter-size: how big, and no bigger?

The inverter carries what runs together for hours, warm and high up as it may be, and the
worst start for a second. The smallest size that does both is the answer: a larger one only
idles more.
"""

import math

from calc import tables
from calc.calculators import lists, losses, regions
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Field, Unknown
from calc.errors import FieldProblem
from calc.physics import load, sizing
from calc.result import Axis, Figure, Level, Mark, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

ALTITUDE_RATED = 1000.0  # m; common practice
LOSS_PER_METRE = 0.01 / 100  # of the rating for each metre above that; common practice
CURRENT_TO_QUESTION = 200.0  # A continuous at 12 V; common practice
HEAT_TO_QUESTION = 50.0  # °C: about where units switch themselves off; common practice
SERIES = "150, 300, 600, 1000, 1500, 2000, 3000, 4000, 5000, 8000, 10000"  # common practice
DAY = 86400.0


def _share_unknown():
    """Standby as a share of the rating, from the few low-voltage units of the library."""
    row = tables.load("self_use_cec").rows[-1]
    return Unknown(f"{row['median']} %", f"{row['p05']} %", f"{row['p95']} %", f"self-use at start-up of {row['count']} low-voltage units, 5th to 95th percentile")


FIELDS = (
    Field("power_running", "Power of what runs together", "W", default="1150 W", minimum="1 W", maximum="40 kW",
          tolerance="5 %", basis="common practice: type plates are good to about 5 %",
          hint="The worst combination that is really on at once, not the whole list."),
    Field("apparent_power_running", "Apparent power of it", "VA", example="1250 VA", minimum="1 VA", maximum="60 kVA",
          tolerance="5 %", basis="common practice",
          hint="From the load list. Left blank: from the power and the power factor below."),
    Field("apparent_power_starting", "Apparent power of the worst start", "VA", example="1900 VA", minimum="1 VA", maximum="100 kVA",
          tolerance="20 %", basis="common practice: starting currents are good to about 20 %",
          hint="One motor starting while the rest runs. Left blank: from the starting power, or no start at all."),
    Field("ambient", "Air where it stands, hottest", "°C", default="35 °C", minimum="-40 °C", maximum="65 °C",
          tolerance="5 °C", basis="common practice", unknown=Unknown("40 °C", "25 °C", "50 °C", "common practice: a locker in summer"),
          hint="Inside the locker, in the afternoon."),
    regions.REGION,
    lists.Sizes("sizes", "Sizes to choose from", "VA", default=SERIES, minimum="20 VA", maximum="50 kVA",
                hint="Continuous ratings, for example 300, 600, 1000."),
    Field("surge_multiple", "Surge over continuous rating", "", default="unknown", minimum="1", maximum="5",
          unknown=Unknown("2", "1.5", "2", "common practice: 2 on most sheets, less where it lasts"),
          hint="From the sheet: peak over continuous."),
    Field("power_starting", "Power of the worst start", "W", minimum="1 W", maximum="100 kW",
          tolerance="20 %", basis="common practice", hint="Left blank: from the apparent power.", more=True),
    losses.POWER_FACTOR,
    Field("power_factor_starting", "Power factor of the start", "", default="unknown", minimum="0.1", maximum="1",
          unknown=Unknown("0.6", "0.5", "0.8", "common practice for a motor that starts"), more=True),
    Field("starting_time", "Start lasts", "s", default="0.5 s", minimum="0.001 s", maximum="60 s", more=True,
          unknown=Unknown("0.5 s", "0.1 s", "1 s", "common practice for a compressor or a pump")),
    Field("surge_time", "Surge lasts", "s", minimum="0.001 s", maximum="3600 s", hint="From the sheet. Left blank: taken as long enough.", more=True),
    Field("altitude", "Height above the sea", "m", default="0 m", minimum="-400 m", maximum="5000 m", hint="Thin air cools less.", more=True,
          unknown=Unknown("300 m", "0 m", "1500 m", "common practice: from the coast to a plateau")),
    Field("temperature_rated", "Full rating holds up to", "°C", default="40 °C", minimum="20 °C", maximum="60 °C",
          unknown=losses.RATED_TO, hint="From the sheet.", more=True),
    Field("loss_per_kelvin", "Rating lost for each °C above that", "%", default="unknown", minimum="0 %", maximum="10 %",
          unknown=losses.LOSS_PER_DEGREE, hint="From the sheet's curve.", more=True),
    Field("margin", "Room on top", "%", default="10 %", minimum="0 %", maximum="100 %", hint="For what was forgotten. More of it costs standby, all day.", more=True),
    Field("standby_share", "Standby as a share of the rating", "%", default="unknown", minimum="0 %", maximum="10 %", unknown=_share_unknown(),
          hint="No-load watts over rated watts of the range you sell.", more=True),
    Field("hours_on", "Hours a day it is on", "h", default="24 h", minimum="0 h", maximum="24 h",
          unknown=Unknown("24 h", "10 h", "24 h", "common practice: left on"), more=True),
    Field("voltage_dc", "Battery voltage under load", "V", default="12.5 V", minimum="6 V", maximum="64 V", more=True,
          unknown=Unknown("12.5 V", "11.5 V", "13.5 V", "common practice: a 12 V battery, from loaded to on charge")),
    losses.EFFICIENCY_FULL,
)  # fmt: skip

ANSWERS = (
    Answer("rating_chosen", "Size to take", "VA", main=True, stepped=True),
    Answer("rating_required", "Rating needed for what runs", "VA", main=True),
    Answer("surge_required", "Surge needed for the start", "VA", main=True),
    Answer("load_fraction", "Share of the size in use while all runs", "%", main=True),
    Answer("standby_next_up", "Standby the next size up adds a day", "Wh", main=True, per_day=True),
    Answer("surge_required_power", "Power during the start", "W"),
    Answer("rating_for_surge", "Rating needed for the start", "VA"),
    Answer("derating", "Share of the rating left there", "%", most=lambda v: 1.0),
    Answer("next_down", "Next size down", "VA", stepped=True),
    Answer("next_down_fails", "Why the next size down fails"),
    Answer("next_up", "Next size up", "VA", stepped=True),
    Answer("standby_per_day", "Standby of the size to take, a day", "Wh", per_day=True),
    Answer("current_dc", "Battery current while all runs", "A"),
)


def _check(v):
    if v.apparent_power_running is not None and v.apparent_power_running < v.power_running * (1 - 1e-9):
        raise FieldProblem("apparent_power_running", f"cannot lie below the real power of {restate(v.power_running, 'W')}: the power factor would be above 1")
    if None not in (v.power_starting, v.apparent_power_starting) and v.apparent_power_starting < v.power_starting * (1 - 1e-9):
        raise FieldProblem("apparent_power_starting", f"cannot lie below the power of the start, {restate(v.power_starting, 'W')}")
    if _left_warm(v) is None:
        raise FieldProblem("ambient", f"at {restate(v.ambient, '°C')} nothing is left of the rating: enter a cooler place, or less lost for each degree")


def _left_warm(v):
    """Share of the rating left in the heat; None where nothing is."""
    try:
        return sizing.derating_temperature(v.ambient, v.temperature_rated, v.loss_per_kelvin)
    except ValueError:
        return None


def _running(v):
    """Apparent power that stays on; the ends of two ranges may cross, so never below the real power."""
    if v.apparent_power_running is None:
        return load.apparent_power(v.power_running, v.power_factor)
    return max(v.apparent_power_running, v.power_running)


def _starting(v):
    """Apparent and real power of the worst start, or what runs where nothing starts."""
    if v.apparent_power_starting is not None:
        power = v.power_starting if v.power_starting is not None else v.apparent_power_starting * v.power_factor_starting
        return max(v.apparent_power_starting, power), power
    if v.power_starting is not None:
        return load.apparent_power(v.power_starting, v.power_factor_starting), v.power_starting
    return _running(v), v.power_running


def _multiple(v):
    """A surge that is over before the start is does not count."""
    too_short = v.surge_time is not None and v.surge_time < v.starting_time
    return 1.0 if too_short else v.surge_multiple


def _evaluate(v):
    running = _running(v)
    starting, starting_power = _starting(v)
    left_warm = _left_warm(v)
    left_high = sizing.derating_altitude(v.altitude, ALTITUDE_RATED, LOSS_PER_METRE)
    out = {
        "rating_required": left_warm and sizing.rating_required(running, v.margin, left_warm, left_high),
        "surge_required": starting * (1 + v.margin),
        "surge_required_power": starting_power * (1 + v.margin),
        "derating": left_warm and left_warm * left_high,
        "current_dc": v.power_running / (v.efficiency_full * v.voltage_dc),
    }
    out["rating_for_surge"] = sizing.surge_rating_required(out["surge_required"], _multiple(v))
    return out | _choose(v, out, running)


def _choose(v, out, running):
    needed = math.inf if out["rating_required"] is None else max(out["rating_required"], out["rating_for_surge"])
    smaller = [size for size in v.sizes if size < needed * (1 - 1e-9)]
    larger = v.sizes[len(smaller) :]
    chosen = larger[0] if larger else None
    down = smaller[-1] if smaller else None
    up = larger[1] if len(larger) > 1 else None
    daily = v.standby_share * v.hours_on
    return {
        "rating_chosen": chosen,
        "load_fraction": running / chosen if chosen else None,
        "next_down": down,
        "next_down_fails": _why(out, down),
        "next_up": up,
        "standby_per_day": chosen * daily if chosen else None,
        "standby_next_up": (up - chosen) * daily if up else None,
    }


def _why(out, size):
    """In words; None where there is no smaller size."""
    if size is None:
        return None
    reasons = []
    if out["rating_required"] is None:
        return "nothing of its rating is left in that heat"
    if out["rating_required"] > size:
        reasons.append(f"what runs needs {say(out['rating_required'], 'VA')}")
    if out["rating_for_surge"] > size:
        reasons.append(f"the start needs a surge of {say(out['surge_required'], 'VA')}")
    return " and ".join(reasons)


def _explain(case):
    _work(case)
    v, o = case.values, case.outputs
    if o.rating_chosen is None:
        largest = restate(v.sizes[-1], "VA")
        case.answer = f"No size on the list does it. The largest, {largest}, fails because {o.next_down_fails}."
        case.find(
            "none-fits", "stop",
            f"Do not stretch {largest} to this. Let fewer things run together, start the motor on its own or with a soft starter, or cool the place. "
            "Otherwise move a load to gas or to DC, or choose from larger sizes.",
        )  # fmt: skip
    else:
        case.answer = f"Take {restate(o.rating_chosen, 'VA')}, {say(o.load_fraction, '%', 2)} loaded while all runs."
        if o.next_down_fails:
            case.answer += f" {restate(o.next_down, 'VA')} fails: {o.next_down_fails}."
        if o.standby_next_up is not None:
            case.answer += f" {restate(o.next_up, 'VA')} would idle away about {say(o.standby_next_up, 'Wh', 2)} more a day."
    _warn(case)
    _note(case)


def _work(case):
    v, o = case.values, case.outputs
    running = _running(v)
    if v.apparent_power_running is None:
        case.step("S", "apparent power of what runs", "P/PF", {"P": (v.power_running, "W"), "PF": (v.power_factor, "")}, running, "VA", "arithmetic")
    warm = _left_warm(v)
    high = sizing.derating_altitude(v.altitude, ALTITUDE_RATED, LOSS_PER_METRE)
    shares = {}
    if warm < 1:
        case.step("k_T", "rating left in the heat", "1 - d_T*(T - T_r)", {"d_T": (v.loss_per_kelvin, "1/K"), "T": (v.ambient, "°C"), "T_r": (v.temperature_rated, "°C")}, warm, "", "practice")
        shares["k_T"] = (warm, "")
    if high < 1:
        case.step("k_h", "rating left in thin air", "1 - d_h*(h - h_r)", {"d_h": (LOSS_PER_METRE, "1/m"), "h": (v.altitude, "m"), "h_r": (ALTITUDE_RATED, "m")}, high, "", "practice")
        shares["k_h"] = (high, "")
    below = f"/({'*'.join(shares)})" if len(shares) > 1 else f"/{''.join(shares)}" if shares else ""
    case.step("S_r", "rating needed for what runs", f"S*(1 + m){below}", {"S": (running, "VA"), "m": (v.margin, "%"), **shares}, o.rating_required, "VA", "practice")
    _work_start(case)
    if o.rating_chosen is not None:
        case.step("q", "share of the size in use", "S/S_chosen", {"S": (running, "VA"), "S_chosen": (o.rating_chosen, "VA")}, o.load_fraction, "%", "arithmetic")
    if o.standby_next_up is not None:
        case.step("E_up", "standby the next size up adds a day", "p_0*(S_up - S_chosen)*t_on",
                  {"p_0": (v.standby_share, "%"), "S_up": (o.next_up, "VA"), "S_chosen": (o.rating_chosen, "VA"), "t_on": (v.hours_on, "h")},
                  o.standby_next_up, "Wh", "cec-library")  # fmt: skip
    case.step("I", "battery current while all runs", "P/(eta*V)", {"P": (v.power_running, "W"), "eta": (v.efficiency_full, "%"), "V": (v.voltage_dc, "V")}, o.current_dc, "A", "arithmetic")


def _work_start(case):
    v, o = case.values, case.outputs
    starting, power = _starting(v)
    if v.apparent_power_starting is None and v.power_starting is not None:
        case.step("S_start", "apparent power of the start", "P_start/PF_start", {"P_start": (power, "W"), "PF_start": (v.power_factor_starting, "")}, starting, "VA", "practice")
    case.step("S_surge", "surge needed", "S_start*(1 + m)", {"S_start": (starting, "VA"), "m": (v.margin, "%")}, o.surge_required, "VA", "practice")
    case.step("S_x", "rating whose surge that is", "S_surge/x", {"S_surge": (o.surge_required, "VA"), "x": (_multiple(v), "")}, o.rating_for_surge, "VA", "practice")


def _warn(case):
    v, o = case.values, case.outputs
    if o.rating_chosen is not None:
        if case.high("rating_required") is None:
            case.find("too-hot", "caution", "At the hottest that is likely nothing of a rating is left: measure the air where it stands, and read the sheet's curve.")
        elif (most := max(case.high("rating_required"), case.high("rating_for_surge"))) > o.rating_chosen:
            case.find("size-close", "caution", f"At the upper end of what is likely it needs {say(most, 'VA')}: measure what decides before you settle on {restate(o.rating_chosen, 'VA')}.")
    if v.surge_time is not None and _multiple(v) < v.surge_multiple:
        case.find("surge-too-short", "caution", f"The surge lasts {restate(v.surge_time, 's')}, the start {restate(v.starting_time, 's')}: the peak figure does not count here.")
    if v.ambient > HEAT_TO_QUESTION:
        case.find("heat", "caution", "At this temperature many units switch themselves off. Move it, or give it air, before buying a larger one.")
    if v.voltage_dc < 17 and o.current_dc > CURRENT_TO_QUESTION:
        case.find("current-high", "caution", f"{say(o.current_dc, 'A', 2)} continuous at 12 V is a lot for cable, joints and fuse: 24 or 48 V halves or quarters it.")


def _note(case):
    v, o = case.values, case.outputs
    if v.apparent_power_starting is None and v.power_starting is None:
        case.find("no-start", "note", "No start was entered. A fridge, a pump or an air conditioner takes several times its running current for a moment.")
    else:
        case.find("start-stalls", "note", "A surge is a limit of current. Asked for more, the inverter's voltage sags and a motor's torque falls with its square: it stalls, it does not start slowly.")
        if o.rating_for_surge > o.rating_required:
            case.find("start-decides", "note", "The start sets the size, not what runs. A soft starter, or a fridge or pump of variable speed, may save a size and its standby.")
        if v.surge_time is None:
            case.find("surge-time-unknown", "note", "Ask how long the surge lasts: milliseconds start no compressor.")
    if o.derating < 1:
        case.find("derated", "note", f"In that heat and height a unit gives {say(o.derating, '%', 2)} of what its plate says.")
    if case.understood("standby_share").how == "unknown":
        case.find("standby-stand-in", "note", "The standby is a share of the rating in grid-connected units, a stand-in. Use the sheets' no-load watts to compare two sizes.")


def _draw(case):
    v, o = case.values, case.outputs
    middle = v.sizes.index(o.rating_chosen) if o.rating_chosen in v.sizes else len(v.sizes) - 1
    shown = v.sizes[max(middle - 2, 0) : middle + 3]
    ticks = tuple((place, restate(size, "VA").removesuffix("\u00a0VA")) for place, size in enumerate(shown, 1))
    axis = Axis("size", "VA", 0.4, len(shown) + 0.6, ticks)
    top = 1.2 * max(shown[-1], o.rating_required, o.rating_for_surge)
    levels = (Level(f"runs: {say(o.rating_required, 'VA')}", o.rating_required), Level(f"starts: {say(o.rating_for_surge, 'VA')}", o.rating_for_surge))
    marks = (Mark("take this", shown.index(o.rating_chosen) + 1, o.rating_chosen),) if o.rating_chosen in shown else ()
    sizes = Figure(
        "Sizes against what is needed",
        "Continuous rating of each size, with the rating needed for what runs and the rating needed for the start.",
        axis, Axis("rating", "VA", 0, top),
        (Series("continuous rating", tuple(enumerate(shown, 1)), markers=True),), levels, marks,
    )  # fmt: skip
    idle = [(place, size * v.standby_share * v.hours_on / 3600.0) for place, size in enumerate(shown, 1)]
    standby = Figure(
        "Standby of each size in a day",
        "Energy each size takes in a day with nothing plugged in.",
        axis, Axis("standby a day", "Wh", 0, 1.15 * idle[-1][1] or 1.0), (Series("standby", tuple(idle), bars=True),),
    )  # fmt: skip
    return [sizes, standby]


CALCULATOR = Calculator(
    id="inverter-size",
    title="How big, and no bigger?",
    question="Which inverter carries what runs together and the worst start, and what would a larger one cost?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
)
