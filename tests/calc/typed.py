"""What people type, for hypothesis: usable texts for every field, and any text at all.

Runs are short and the same every time, so that a failure is the code's and not the dice's.
"""

import functools

from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.calculators.form import UNKNOWN, Choice, Points
from calc.calculators.rule_of_thumb import RangeEnd
from calc.calculators.schedule import Daily, DayList, Schedule
from calc.errors import FieldProblem, InputProblems
from calc.units import from_si

_SAME = {"derandomize": True, "database": None, "deadline": None, "suppress_health_check": list(HealthCheck), "phases": [Phase.explicit, Phase.generate, Phase.shrink]}
few = settings(max_examples=25, **_SAME)
many = settings(max_examples=40, **_SAME)

REALISTIC = {
    "voltage_open_circuit": (12.0, 13.4, "V"), "battery_resistance": (1.0, 15.0, "mΩ"), "power_ac": (5.0, 2000.0, "W"), "power_dc": (5.0, 2000.0, "W"),
    "cut_out": (9.0, 11.8, "V"), "joint_resistance": (0.0, 4.0, "mΩ"), "cable_resistance": (0.2, 10.0, "mΩ"), "rating": (300.0, 5000.0, "VA"),
    "standby_power": (1.0, 30.0, "W"), "efficiency_full": (80.0, 92.0, "%"), "efficiency_peak": (88.0, 96.0, "%"), "power_factor": (0.5, 1.0, ""),
    "length_one_way": (0.2, 8.0, "m"), "conductor_temperature": (0.0, 90.0, "°C"), "battery_current_limit": (50.0, 300.0, "A"),
    "current_dc": (5.0, 300.0, "A"), "voltage_min": (9.0, 11.5, "V"), "ambient": (-10.0, 60.0, "°C"), "insulation": (90.0, 125.0, "°C"),
    "terminal_temperature": (70.0, 110.0, "°C"), "drop_limit": (1.0, 10.0, "%"), "bundle": (2.0, 2.0, ""), "search_power": (0.5, 5.0, "W"),
    "hours_on": (2.0, 24.0, "h"), "hours_needed": (0.0, 2.0, "h"), "standby_current": (0.2, 4.0, "A"), "other_standby_power": (1.0, 30.0, "W"),
    "load_duration": (0.1, 10.0, "s"), "cut_out_delay": (0.5, 10.0, "s"), "lock_out": (6.0, 9.0, "V"), "recovery": (11.8, 13.0, "V"),
    "unit_capacity": (50.0, 300.0, "Ah"), "energy_per_day": (100.0, 8000.0, "Wh"), "capacity": (40.0, 600.0, "Ah"), "voltage": (11.5, 13.6, "V"), "path_resistance": (0.5, 8.0, "mΩ"),
    "state_of_charge": (60.0, 100.0, "%"), "temperature": (-5.0, 40.0, "°C"),
    "current_max": (5.0, 250.0, "A"), "cable_ampacity": (40.0, 400.0, "A"), "distance": (0.0, 0.2, "m"), "voltage_charge_max": (62.0, 70.0, "V"), "fuse_fitted": (20.0, 300.0, "A"),
    "voltage_1": (12.4, 12.9, "V"), "current_1": (0.0, 8.0, "A"), "voltage_2": (11.2, 12.3, "V"), "current_2": (20.0, 120.0, "A"), "current_pieces": (20.0, 120.0, "A"),
    "energy": (50.0, 900.0, "Wh"), "voltage_charge": (13.9, 14.5, "V"), "alternator_voltage": (13.6, 14.6, "V"), "charger_current": (5.0, 60.0, "A"), "panel_power": (0.0, 600.0, "W"),
    "energy_day": (1.0, 500.0, "Wh"), "energy_evening": (1.0, 300.0, "Wh"), "energy_night": (1.0, 300.0, "Wh"), "sunset": (16.0, 22.0, "h"), "sunrise": (4.0, 9.0, "h"),
    "rating_smaller": (100.0, 290.0, "VA"), "use_scale": (50.0, 150.0, "%"),
    "voltage_inverter": (10.2, 11.1, "V"), "voltage_rest": (12.1, 13.3, "V"), "standby_reading": (0.5, 8.0, "A"),
}  # fmt: skip
"""Ranges that mostly make an answer; a field not named here takes its own limits."""

AREAS = ["10 mm²", "16 mm²", "25 mm²", "35 mm²", "50 mm²", "70 mm²", "95 mm²", "120 mm²", "4 AWG", "2 AWG", "1/0 AWG", "4/0 AWG"]


LISTED = {
    "sizes": ["150, 300, 600, 1000, 1500, 2000, 3000, 5000", "600 VA; 1,2 kVA; 3 kW", "2000"], "sheddable": ["tv 60 W 3 h", "heater 500 W 30 min, pump 80 W 10 min, tv 40 W 2 h", "lamp 20 W 5 h; freezer 60 W 4 h"],
    "battery_resistances": ["3 mΩ", "3, 4 mΩ", "2; 2,5; 3; 6 mΩ"], "voltages": ["12.7 V", "12.7, 12.6 V"], "count": ["2", "4"],
    "pieces": ["lug 12 mV, fuse 30 mV, isolator 60 mV", "lug 12 mV; other lug 40 mV; negative cable 110 mV"], "turns": ["1", "5"], "strings": ["1", "2", "4"], "appliances": ["1", "3"],
    "panels_in_series": ["1", "2", "3"], "days": ["1", "2"], "step": ["30 min", "60 min"],
    "voltage_nominal": ["12 V", "24 V", "25.6 V", "48 V"], "unit_voltage": ["2 V", "6 V", "12 V"],
}  # fmt: skip
"""Fields of which only a few values make sense together."""


@functools.cache  # hypothesis examines a strategy anew each time it is made
def texts(calculator, name):
    """Usable texts for one field."""
    field = next(one for one in CALCULATORS[calculator].fields if one.name == name)
    if isinstance(field, Choice):
        return st.sampled_from([*field.choices])
    if field.name in LISTED:
        return st.sampled_from(LISTED[field.name])
    if isinstance(field, Schedule):
        return st.sampled_from(["18-22: 60 W", "7:30-8: 200 W, 18-22: 40 W must", "0-24: 15 W must, 22-6: 10 W"])
    if isinstance(field, Daily):
        return st.sampled_from(["4 h", "1.5", "0.5 h"])
    if isinstance(field, DayList):
        return st.sampled_from(["1", "all"])
    if isinstance(field, Points):
        return st.sampled_from(["10%:86%, 50%:91%, 100%:89%", "20%:88%; 100%:88%"])
    if isinstance(field, RangeEnd):
        return st.just("")  # its unit and limits go by the rule
    if field.name == "area":
        return st.sampled_from(AREAS)
    low, high, unit = REALISTIC.get(field.name) or (*(from_si(end, field.unit) for end in field._limits), field.unit)
    numbers = st.floats(low, high).map(lambda number: f"{number:.4g} {unit}".strip())
    return numbers if field.unknown is None else numbers | st.just(UNKNOWN)


TOGETHER = [("voltage_1", "current_1", "voltage_2", "current_2", "voltage_inverter"), ("pieces", "current_pieces"), ("surge_current", "surge_time"),
            ("panel_voltage_open_circuit", "controller_voltage_limit"), ("driving_current", "driving_days"), ("mains_days", "charger_current")]  # fmt: skip
"""Fields of which one alone is refused."""
DENSE, SPARSE = st.booleans(), st.sampled_from([False, False, False, False, True])
"""Whether a field is typed that may be left out: many at once meet one another, few are seldom refused."""


@st.composite
def valid(draw, calculator, **fixed):
    """Texts for some of a calculator's fields, in one of the ways it can be asked."""
    ask = CALCULATORS[calculator]
    left_out, needed = set(), set()
    for group in ask.alternatives:
        used = next((way for way in group if set(way) & fixed.keys()), None) or draw(st.sampled_from(group))
        left_out |= {name for way in group for name in way} - set(used)
        needed |= set(used) if used is not group[0] else set()
    fields = [one for one in ask.fields if one.name not in fixed and one.name not in left_out]
    must = {one.name for one in fields if one.default is None or one.name in needed}
    chance = draw(st.sampled_from([SPARSE, DENSE]))
    chosen = {one.name for one in fields if one.name in must or draw(chance)}
    for group in TOGETHER:
        if (chosen | fixed.keys()) & set(group):
            chosen |= {one.name for one in fields if one.name in group}
    return {**{one.name: draw(texts(calculator, one.name)) for one in fields if one.name in chosen}, **fixed}


def answered(calculator, typed):
    """The answer, or None where what is typed is refused in the proper way."""
    try:
        return run(CALCULATORS[calculator], typed)
    except (InputProblems, FieldProblem):
        return None


UNITS = ["", "A", "V", "W", "VA", "mΩ", "Ω", "m", "mm", "mm²", "mm2", "ft", "'", "AWG", "h", "s", "min", "Ah", "Wh", "°C", "K", "%", "kW", "MW", "nan", "²", "sq mm", "per cent", "day"]
NUMBERS = ["0", "-1", "1", "2.5", "2,5", "1,200", "1.200,5", "1 200", "1'200", "1e9", "1e308", "1e-320", "12.", ".5", "00", "1/0", "−3", "nan", "inf", "∞", "٣", "½", "0x10", "1_000", "", "--5", "+7", "40", "90", "50"]


def _joined(parts):
    return "".join(parts)


_pieces = st.tuples(st.sampled_from(NUMBERS), st.sampled_from(["", " ", "\u00a0"]), st.sampled_from(UNITS)).map(_joined)
_ranges = st.tuples(_pieces, st.sampled_from([" ± ", "±", " to ", "-", " +/- ", " – "]), _pieces).map(_joined)
anything = st.one_of(
    _pieces, _pieces, _ranges, st.text(max_size=20), st.text(alphabet="0123456789 .,'-+±eE%/:;²Ωµ<>&\"AVWmh", max_size=16),
    st.sampled_from([UNKNOWN, "yes", "trough", "awg", "10%:80%", "50%:91%, 100%:89%", "0:0", ":", "<script>alert(1)</script>", "a" * 300, "9" * 400, "\x00", "\ud800"]),
)  # fmt: skip
"""Any text at all, much of it nearly a quantity."""
