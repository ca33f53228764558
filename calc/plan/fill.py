"""Where each part of a plan takes its values from.

For every field the first of these that says something: the override typed in that part,
the plan's own entry, a step before, and else the calculator's own assumption. "I don't
know" in the plan gives way to a step before, where there is one.
"""

from dataclasses import dataclass

from calc.calculators import CALCULATORS, trip
from calc.calculators.form import UNKNOWN
from calc.plan import week
from calc.plan.overrides import PARTS
from calc.units import format_number, from_si, read_quantity

DAYS = 7  # of a week
STEP = "30 min"  # of the trip: coarse enough for two weeks at a time


@dataclass(frozen=True)
class Origin:
    """Where a value came from: "override", "plan" or "step", and the path or the part."""

    kind: str
    place: str


@dataclass(frozen=True)
class Own:
    """The plan's own entry, by section and name."""

    section: str
    name: str
    fits: object = None  # from a Run: whether what was typed belongs to it


@dataclass(frozen=True)
class Made:
    """A value made from the steps before: the part it stands for, and how it is made."""

    part: str
    text: object  # from a Run: text, or "" where there is none


def typed(value, unit, figures=4):
    """A number as a person would type it.

    Parameters
    ----------
    value : float
        In SI units.
    unit : str
        Unit to show.
    figures : int
        Significant figures; zeros at the end are left out.

    Returns
    -------
    str
        For example "1235 Wh".
    """
    number = format_number(from_si(value, unit), figures).replace("−", "-")
    if "." in number:
        number = number.rstrip("0").rstrip(".")
    return f"{number} {unit}".strip()


def own(path):
    """The plan's own entry at "section.name"."""
    return Own(*path.split("."))


def output(part, name, unit):
    """An answer of a part before, in the unit of the field it goes to."""
    return Made(part, lambda run: typed(value, unit) if (value := run.value(part, name)) is not None else "")


def choice(name, unit):
    """Something the plan has settled on: typed, or chosen by a step before."""
    return Made(name, lambda run: typed(chosen.value, unit) if (chosen := run.choices.get(name)) else "")


def fixed(text):
    """A text that stands in where the plan says nothing."""
    return Made("plan", lambda run: text)


def _ratio(part, over, under):
    def text(run):
        high, low = run.value(part, over), run.value(part, under)
        return typed(min(high / low, 1.0), "") if high and low else ""

    return Made(part, text)


def _assumed(calculator, name):
    """What a calculator takes where nothing is said, as text."""
    return next(one.default for one in CALCULATORS[calculator].fields if one.name == name)


def _per_battery(volts):
    """A voltage of one battery of 12 V, times those in series."""
    return Made("voltage", lambda run: typed(volts * run.blocks, "V") if run.blocks else "")


def _assumed_per_battery(calculator, name):
    return _per_battery(read_quantity(_assumed(calculator, name), "V").likely)


def _limit_of_bank(run):
    limit, strings = run.own_value("battery", "battery_current_limit"), run.choices.get("strings")
    return typed(limit * strings.value, "A") if limit and strings else ""


def _charge_current(run):
    """All chargers together, panels left aside."""
    amps = [run.own_value("charging", name) for name, on in (("dcdc_current", "driving"), ("charger_current", "mains")) if run.own_choice("charging", on) not in ("", "none")]
    return typed(sum(one for one in amps if one), "A") if any(amps) else ""


def _generator_safe(run):
    place, alarm = run.own_choice("charging", "generator_place"), run.own_choice("charging", "co_alarm")
    return "no" if "near" == place or alarm == "no" else "yes" if (place, alarm) == ("away", "yes") else ""


def _bad_week(run):
    mean = run.value("recharge", "sun_hours_used")
    return week.sun_of_bad_week(mean) if mean is not None else ""


def _good_week(run):
    best = run.best_sun()
    return typed(best, "h") if best is not None else ""


def _driving_current(run):
    kind = run.own_choice("charging", "driving")
    if kind == "dc-dc":
        return run.plan["charging"].get("dcdc_current", "") or _assumed("recharge", "dcdc_current")
    if kind == "split" and (ends := [run.value("recharge", f"current_driving{end}") for end in ("", "_end")]) and None not in ends:
        return typed(min(ends), "A")
    return ""


def _days(section_choice, days):
    def text(run):
        if run.own_choice("charging", section_choice) in ("", "none"):
            return ""
        return run.plan["charging"].get(days, "") or "all"

    return Made("plan", text)


def _only_with(section_choice, name):
    """A charger's figure, only where that way of charging is used."""

    def text(run):
        if run.own_choice("charging", section_choice) in ("", "none"):
            return ""
        return run.plan["charging"].get(name, "") or _assumed("recharge", name)

    return Made("plan", text)


def _mean_hours(way):
    """Hours of a mean day, where only some days of the week have any."""

    def text(run):
        hours = run.own_value("charging", f"{way}_hours")
        days = run.own_days(f"{way}_days")
        if days is None:
            return run.plan["charging"].get(f"{way}_hours", "")
        if hours is None:
            hours = read_quantity(_assumed("recharge", f"{way}_hours"), "h").likely
        return typed(hours * days / DAYS, "h")

    return Made("plan", text)


def _inverter_on(run):
    hours = run.own_value("inverter", "hours_on") if run.through else 0.0
    return "when-needed" if hours is not None and hours < 24 * 3600.0 else ""


def _surge(run, name, unit):
    if run.value("start", "current_dc") is None:
        return ""
    value = run.value("start", "current_dc") if name == "current" else run.starting_time()
    return typed(value, unit)


def _ac_loads(run):
    if run.own_choice("installation", "outlets") in ("", "one-appliance"):
        return ""
    count = sum(row.quantity for row in run.loads or () if row.supply == "ac")
    return typed(min(max(count, 1), 100), "")


_CUT_OUT = Own("inverter", "cut_out", lambda run: run.cut_out_fits)
_VOLTAGE_AC = Made("plan", lambda run: f"{run.region.split('-')[0]} V")
_INVERTER = {
    "rating": [choice("rating", "VA")],
    "standby_power": [own("inverter.standby_power"), choice("standby", "W")],
    "efficiency_full": [own("inverter.efficiency_full")],
    "efficiency_peak": [own("inverter.efficiency_peak")],
    "points": [own("inverter.points")],
}
_CABLE = {
    "length_one_way": [own("dc.length_one_way")],
    "rule": [own("dc.rule")],
    "insulation": [own("dc.insulation")],
    "terminal_temperature": [own("dc.terminal_temperature")],
    "ambient": [own("dc.ambient")],
    "engine_space": [own("dc.engine_space")],
    "conductor": [own("dc.conductor")],
    "ripple": [own("inverter.ripple")],
    **_INVERTER,
}
_AT_RATING = {
    "power_ac": [Made("rating", lambda run: typed(run.choices["rating"].value, "W") if "rating" in run.choices else "")],
    "voltage_min": [_CUT_OUT, _per_battery(trip.CUT_OUT_12)],
}
_PATH = {
    "voltage_open_circuit": [Made("battery", lambda run: typed(run.rest_voltage(), "V") if run.blocks else "")],
    "battery_resistance": [own("battery.battery_resistance"), Made("battery", lambda run: run.resistance_words())],
    "cut_out": [_CUT_OUT, _per_battery(trip.CUT_OUT_12)],
    "area": [choice("area", "mm²")],
    "length_one_way": [own("dc.length_one_way")],
    "joint_resistance": [own("dc.joint_resistance")],
    **_INVERTER,
    "cut_out_senses": [own("inverter.cut_out_senses")],
    "cut_out_delay": [own("inverter.cut_out_delay")],
    "lock_out": [own("inverter.lock_out")],
    "ripple": [own("inverter.ripple")],
    "battery_current_limit": [Made("battery", _limit_of_bank)],
    "chemistry": [Made("plan", lambda run: run.chemistry if run.chemistry == "lithium-iron-phosphate" else "lead-acid")],
    "conductor": [own("dc.conductor")],
}
_TRIP = {
    "panel_power": [own("charging.panel_power"), fixed("0 W")],
    "loads": [Made("loads", lambda run: week.schedule(run.plan, run.loads, "ac") if run.loads else "")],
    "loads_dc": [Made("loads", lambda run: week.schedule(run.plan, run.loads, "dc") if run.loads else "")],
    "capacity": [choice("capacity", "Ah")],
    "chemistry": [own("battery.chemistry")],
    "depth_limit": [own("battery.depth_limit")],
    "inverter_on": [Made("plan", _inverter_on)],
    **_INVERTER,
    "days": [fixed(str(DAYS))],
    "step": [fixed(STEP)],
    "derate": [output("recharge", "panel_yield", "")],
    "voltage_nominal": [choice("voltage", "V")],
    "battery_resistance": [own("battery.battery_resistance")],
    "path_resistance": [Made("path", lambda run: run.path_resistance_words())],
    "cut_out": [_CUT_OUT],
    "battery_current_limit": [Made("battery", _limit_of_bank)],
    "temperature": [own("season.temperature")],
    "driving_current": [Made("recharge", _driving_current)],
    "driving_days": [_days("driving", "driving_days")],
    "driving_hours": [_only_with("driving", "driving_hours")],
    "charger_current": [_only_with("mains", "charger_current")],
    "mains_days": [_days("mains", "mains_days")],
    "mains_hours": [_only_with("mains", "mains_hours")],
}

FILL = {
    "loads": {
        "loads": [Made("plan", lambda run: week.rows(run.plan) if run.plan["loads"] else "")],
        **_INVERTER,
        "inverter_hours": [own("inverter.hours_on")],
    },
    "size": {
        "power_running": [output("loads", "power_running", "W")],
        "apparent_power_running": [output("loads", "apparent_power_running", "VA")],
        "power_starting": [output("loads", "power_starting", "W")],
        "apparent_power_starting": [output("loads", "apparent_power_starting", "VA")],
        "ambient": [own("season.ambient")],
        "altitude": [own("season.altitude")],
        "surge_multiple": [own("inverter.surge_multiple")],
        "surge_time": [own("inverter.surge_time")],
        "starting_time": [Made("loads", lambda run: typed(run.starting_time(), "s"))],
        "hours_on": [own("inverter.hours_on")],
        "efficiency_full": [own("inverter.efficiency_full")],
        "voltage_dc": [_assumed_per_battery("inverter-size", "voltage_dc")],
    },
    "voltage": {
        "power_ac": _AT_RATING["power_ac"],
        "power_12v": [own("dc.power_12v"), Made("loads", lambda run: typed(run.power_dc_loads(), "W"))],
        "drop_limit": [own("dc.drop_limit")],
        "chemistry": [own("battery.chemistry")],
        "battery_resistance": [Made("battery", lambda run: run.resistance_at_12_words())],
        "voltage_rest": [Made("battery", lambda run: typed(run.rest_voltage(1), "V"))],
        **_CABLE,
    },
    "conversion": {
        "power_ac": [output("loads", "power_running", "W")],
        "power_factor": [_ratio("loads", "power_running", "apparent_power_running")],
        "voltage_dc": [_assumed_per_battery("conversion-loss", "voltage_dc")],
        **_INVERTER,
    },
    "standby": {
        "standby_power": _INVERTER["standby_power"],
        "hours_on": [own("inverter.hours_on")],
        "battery_capacity": [choice("capacity", "Ah")],
        "voltage_dc": [_assumed_per_battery("standby", "voltage_dc")],
        "depth_limit": [own("battery.depth_limit"), Made("battery", lambda run: typed(run.depth_limit, "%"))],
        "sun_hours": [output("recharge", "sun_hours_used", "h")],
    },
    "battery": {
        "energy_per_day": [output("loads", "energy_total", "Wh")],
        "days": [own("season.days")],
        "voltage_nominal": [choice("voltage", "V")],
        "chemistry": [own("battery.chemistry")],
        "depth_limit": [own("battery.depth_limit")],
        "unit_capacity": [own("battery.unit_capacity")],
        "unit_voltage": [own("battery.unit_voltage")],
        "temperature": [own("season.temperature")],
        "power_dc_max": [Made("conversion", lambda run: run.power_dc_words())],
        "charge_current": [Made("plan", _charge_current)],
        "battery_current_limit": [own("battery.battery_current_limit")],
        "series_limit": [own("battery.series_limit")],
        "charged_cold": [own("battery.charged_cold")],
        "strings_least": [Made("battery", lambda run: str(run.strings_least))],
    },
    "cable": {
        **_AT_RATING,
        "voltage_nominal": [choice("voltage", "V")],
        "drop_limit": [own("dc.drop_limit")],
        "area": [choice("area", "mm²")],
        **_CABLE,
    },
    "fuse": {
        **_AT_RATING,
        "area": [choice("area", "mm²")],
        "voltage_dc": [choice("voltage", "V")],
        "chemistry": [own("battery.chemistry")],
        "capacity": [choice("string_capacity", "Ah")],
        "strings": [choice("strings", "")],
        "string_fuses": [own("battery.string_fuses")],
        "joint_resistance": [own("dc.joint_resistance")],
        "surge_current": [Made("start", lambda run: _surge(run, "current", "A"))],
        "surge_time": [Made("start", lambda run: _surge(run, "time", "s"))],
        **_CABLE,
    },
    "path": {
        "power_ac": [output("loads", "power_running", "W")],
        "power_factor": [_ratio("loads", "power_running", "apparent_power_running")],
        **_PATH,
    },
    "start": {
        "power_ac": [output("loads", "power_starting", "W")],
        "power_factor": [_ratio("loads", "power_starting", "apparent_power_starting")],
        "load_duration": [Made("loads", lambda run: typed(run.starting_time(), "s"))],
        **_PATH,
    },
    "recharge": {
        "energy": [output("loads", "energy_total", "Wh")],
        "chemistry": [own("battery.chemistry")],
        "capacity": [choice("capacity", "Ah")],
        "panel_power": [own("charging.panel_power"), fixed("0 W")],
        "sun_hours": [own("season.sun_hours")],
        "place": [own("season.place")],
        "month": [own("season.month")],
        "voltage_nominal": [choice("voltage", "V")],
        "temperature": [own("season.temperature")],
        "battery_resistance": [own("battery.battery_resistance")],
        **{name: [own(f"charging.{name}")] for name in (
            "mount", "driving", "dcdc_current", "alternator_current_idle", "fused_both_ends", "mains", "charger_current",
            "charger_power_factor", "generator_rating", "generator_place", "co_alarm",
        )},
        "driving_hours": [_mean_hours("driving")],
        "mains_hours": [_mean_hours("mains")],
    },
    "bad-week": {"sun_hours": [own("season.sun_bad_week"), Made("recharge", _bad_week)], **_TRIP},
    "good-week": {"sun_hours": [own("season.sun_good_week"), Made("recharge", _good_week)], **_TRIP},
    "joining": {
        **{name: [own(f"installation.{name}")] for name in ("outlets", "shore_power", "supply_current", "power_other", "fixed_wiring", "origin", "output_link")},
        "generator": [own("installation.generator"), Made("plan", lambda run: "portable" if run.own_choice("charging", "mains") == "generator" else "")],
        "charging": [Made("plan", lambda run: "yes" if run.own_choice("charging", "mains") not in ("", "none") else "no")],
        "plan": [own("installation.intention")],
        "charger_current": [own("charging.charger_current")],
        "charger_power_factor": [own("charging.charger_power_factor")],
        "budget": [own("who.budget")],
        "medical": [own("who.medical")],
        "generator_safe": [Made("plan", _generator_safe)],
        "voltage_ac": [_VOLTAGE_AC],
        "charging_voltage": [_assumed_per_battery("changeover", "charging_voltage")],
        "rating": [choice("rating", "VA")],
        "breaker": [own("installation.breaker_rating")],
    },
    "breaker": {
        "rating": [choice("rating", "VA")],
        "voltage_ac": [_VOLTAGE_AC],
        "breaker_rating": [own("installation.breaker_rating")],
        "curve": [own("installation.breaker_curve")],
        "output": [own("installation.output_link")],
        "appliances": [Made("loads", _ac_loads)],
    },
    "heat": {
        "power_ac": [Made("loads", lambda run: typed(run.power_for_hours(), "W") if run.loads else "")],
        "box_area": [own("installation.box_area")],
        "airflow": [own("installation.airflow")],
        "ambient": [own("season.air_outside")],
        "place": [own("installation.inverter_place")],
        "battery": [Made("plan", lambda run: run.chemistry if run.own_choice("installation", "battery_beside") == "yes" else "none")],
        "battery_capacity": [choice("capacity", "Ah")],
        "voltage_nominal": [choice("voltage", "V")],
        **_INVERTER,
    },
}  # fmt: skip
"""Part by part, field by field, the places a value may come from, first come first served."""

_REGION = Made("plan", lambda run: run.region)
for _part, _fields in FILL.items():
    if any(one.name == "region" for one in CALCULATORS[PARTS[_part]].fields):
        _fields["region"] = [_REGION]

NEEDED = {
    "size": {"power_running"},
    "voltage": {"power_ac", "rule"},
    "conversion": {"power_ac", "rating", "voltage_dc"},
    "standby": {"battery_capacity", "standby_power"},
    "battery": {"energy_per_day", "voltage_nominal"},
    "cable": {"power_ac", "voltage_nominal", "rule"},
    "fuse": {"power_ac", "area", "voltage_dc", "capacity", "rule"},
    "path": {"power_ac", "area", "voltage_open_circuit"},
    "start": {"power_ac", "area", "voltage_open_circuit"},
    "recharge": {"energy", "capacity", "voltage_nominal"},
    "bad-week": {"sun_hours", "capacity", "rating"},
    "good-week": {"sun_hours", "capacity", "rating"},
    "joining": {"rating"},
    "breaker": {"rating"},
    "heat": {"power_ac", "rating"},
    "loads": {"loads"},
}
"""Fields of a part for which the calculator's own assumption would be no answer about this plan."""


def fill(run, part):
    """The values of one part.

    Parameters
    ----------
    run : Run
        The plan and the steps before.
    part : str
        Its name.

    Returns
    -------
    texts : dict of str
        Field name to text.
    origins : dict of Origin
        Field name to where it came from.
    missing : list of str
        Fields that are needed and came from nowhere.
    """
    texts, origins = {}, {}
    overrides = run.plan["overrides"].get(part, {})
    for name, places in FILL[part].items():
        for place in places:
            text, origin = _one(run, place)
            if text.strip().lower() == UNKNOWN and place is not places[-1]:
                continue
            if text:
                texts[name], origins[name] = text, origin
                break
    for name, text in overrides.items():
        texts[name], origins[name] = text, Origin("override", f"overrides.{part}.{name}")
    missing = [name for name in FILL[part] if name in NEEDED[part] and name not in texts and (run.through or name != "rating")]
    return texts, origins, missing


def _one(run, place):
    if isinstance(place, Own):
        if place.fits is not None and not place.fits(run):
            return "", None
        return run.plan[place.section].get(place.name, ""), Origin("plan", f"{place.section}.{place.name}")
    return place.text(run), Origin("step", place.part)
