"""What people type, for hypothesis: usable texts for every field, and any text at all.

Runs are short and the same every time, so that a failure is the code's and not the dice's.
"""

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st

from calc.calculators import CALCULATORS
from calc.calculators.form import UNKNOWN, Choice, Points

_SAME = {"derandomize": True, "database": None, "deadline": None, "suppress_health_check": list(HealthCheck)}
few = settings(max_examples=40, **_SAME)
many = settings(max_examples=150, **_SAME)

REALISTIC = {
    "voltage_open_circuit": (12.0, 13.4, "V"), "battery_resistance": (1.0, 15.0, "mΩ"), "power_ac": (5.0, 2000.0, "W"), "power_dc": (5.0, 2000.0, "W"),
    "cut_out": (9.0, 11.8, "V"), "joint_resistance": (0.0, 4.0, "mΩ"), "cable_resistance": (0.2, 10.0, "mΩ"), "rating": (300.0, 5000.0, "VA"),
    "standby_power": (1.0, 30.0, "W"), "efficiency_full": (80.0, 92.0, "%"), "efficiency_peak": (88.0, 96.0, "%"), "power_factor": (0.5, 1.0, ""),
    "length_one_way": (0.2, 8.0, "m"), "conductor_temperature": (0.0, 90.0, "°C"), "battery_current_limit": (50.0, 300.0, "A"),
    "current_dc": (5.0, 300.0, "A"), "voltage_min": (9.0, 11.5, "V"), "ambient": (-10.0, 60.0, "°C"), "insulation": (90.0, 125.0, "°C"),
    "terminal_temperature": (70.0, 110.0, "°C"), "drop_limit": (1.0, 10.0, "%"), "bundle": (2.0, 2.0, ""), "search_power": (0.5, 5.0, "W"),
}  # fmt: skip
"""Ranges that mostly make an answer; a field not named here takes its own limits."""

AREAS = ["10 mm²", "16 mm²", "25 mm²", "35 mm²", "50 mm²", "70 mm²", "95 mm²", "120 mm²", "4 AWG", "2 AWG", "1/0 AWG", "4/0 AWG"]


def _limits(field):
    low, high = field._limits
    return (low, high if high is not None else low + 100.0, "")


def texts(field):
    """Usable texts for one field."""
    if isinstance(field, Choice):
        return st.sampled_from([*field.choices])
    if isinstance(field, Points):
        return st.sampled_from(["10%:86%, 50%:91%, 100%:89%", "20%:88%; 100%:88%"])
    if field.name == "area":
        return st.sampled_from(AREAS)
    if field.name in REALISTIC:
        low, high, unit = REALISTIC[field.name]
        numbers = st.floats(low, high).map(lambda number: f"{number:.4g} {unit}".strip())
    else:
        low, high, unit = _limits(field)
        from calc.units import from_si

        numbers = st.floats(low, high).map(lambda number: f"{from_si(number, field.unit):.4g} {field.unit}".strip())
    ways = [numbers]
    if field.unknown is not None:
        ways.append(st.just(UNKNOWN))
    return st.one_of(ways)


def valid(calculator, **fixed):
    """Texts for some of a calculator's fields; those that must be given are always there."""
    fields = CALCULATORS[calculator].fields
    chosen = {field.name: texts(field) for field in fields if field.name not in fixed}
    must = {field.name: chosen.pop(field.name) for field in fields if field.default is None and field.name not in fixed}
    return st.fixed_dictionaries({**must, **{name: st.just(text) for name, text in fixed.items()}}, optional=chosen)
