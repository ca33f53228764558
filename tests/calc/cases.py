"""Inputs that between them bring out everything a calculator can say.

CASES   calculator → name of the case → what is typed
FOUND   calculator → code of a finding → (its level, the case that brings it out)
"""

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run

CASES = {
    "supply-path": {
        "defaults": {},
        "the example": CALCULATORS["supply-path"].shown(),
        "a small load": {"power_ac": "60 W"},
        "mean seen, no ripple": {"cut_out_senses": "mean", "ripple": "0"},
        "trough seen": {"cut_out_senses": "trough", "ripple": "0.8", "battery_resistance": "4 mΩ", "power_ac": "400 W"},
        "drops out": {"voltage_open_circuit": "12.1 V", "battery_resistance": "12 mΩ", "power_ac": "1400 W"},
        "drops out and starts again": {"voltage_open_circuit": "12.1 V", "battery_resistance": "12 mΩ", "power_ac": "1400 W", "recovery": "12 V"},
        "drops out and stays off": {"voltage_open_circuit": "12.1 V", "battery_resistance": "12 mΩ", "power_ac": "1400 W", "recovery": "12.8 V"},
        "collapses": {"battery_resistance": "30 mΩ", "power_ac": "1800 W"},
        "collapses at a known cable": {"cable_resistance": "20 mΩ", "battery_resistance": "20 mΩ", "power_dc": "1500 W"},
        "above the battery's limit": {"voltage_open_circuit": "13.2 V", "battery_resistance": "3 mΩ", "power_ac": "1800 W", "battery_current_limit": "100 A"},
        "within the battery's limit": {"voltage_open_circuit": "13.2 V", "battery_resistance": "3 mΩ", "power_ac": "600 W", "battery_current_limit": "100 A"},
        "a big load at 12 V": {"voltage_open_circuit": "12.8 V", "battery_resistance": "1 mΩ", "joint_resistance": "0.3 mΩ", "rating": "3000 VA", "power_ac": "2500 W", "area": "95 mm²"},
        "poor joints": {"joint_resistance": "4 mΩ", "power_ac": "900 W", "battery_resistance": "3 mΩ"},
        "lithium": {"voltage_open_circuit": "13.1 V", "battery_resistance": "3 mΩ", "chemistry": "lithium-iron-phosphate"},
        "trips only when empty": {"power_ac": "20 W", "battery_resistance": "4 mΩ"},
        "a start": {"power_ac": "1500 W", "load_duration": "0.5 s"},
        "a start that rides through": {"power_ac": "1500 W", "load_duration": "0.5 s", "cut_out_delay": "3 s", "lock_out": "9 V"},
        "a start longer than the delay": {"power_ac": "1500 W", "load_duration": "5 s", "cut_out_delay": "3 s", "lock_out": "9 V"},
        "a start above the rating": {"rating": "1000 VA", "power_ac": "1800 W", "load_duration": "0.3 s"},
        "a motor": {"power_ac": "600 W", "power_factor": "0.6"},
        "points": {"points": "10%:86%, 50%:91%, 100%:89%"},
        "24 V": {"voltage_open_circuit": "25.4 V", "cut_out": "21 V", "power_ac": "1800 W"},
        "48 V, AWG": {"voltage_open_circuit": "51.2 V", "cut_out": "43 V", "conductor": "awg", "area": "4 AWG", "length_one_way": "8 ft"},
        "class 2": {"conductor": "class-2", "area": "50 mm²"},
        "stated ranges": {"battery_resistance": "8 to 12 mΩ", "voltage_open_circuit": "12.5 ± 0.1 V", "ripple": "0.2 to 0.6", "cut_out": "10.5 ± 0.3 V"},
        "nothing known": {"voltage_open_circuit": "unknown", "battery_resistance": "unknown", "power_ac": "unknown", "cut_out": "unknown", "joint_resistance": "unknown", "length_one_way": "unknown",
                          "standby_power": "unknown", "efficiency_full": "unknown", "efficiency_peak": "unknown", "power_factor": "unknown", "ripple": "unknown"},
        "no joints": {"joint_resistance": "0"},
        "a low cut-out": {"cut_out": "5 V", "battery_resistance": "6 mΩ", "cut_out_senses": "mean", "ripple": "0"},
    },
    "dc-cable": {
        "the example": CALCULATORS["dc-cable"].shown(),
        "metric": {"rule": "bs-7671-flexible"},
        "class 2": {"rule": "bs-7671-clipped", "conductor": "class-2"},
        "conduit": {"rule": "bs-7671-conduit", "conductor": "class-2", "current_dc": "40 A"},
        "rubber": {"rule": "bs-7671-rubber", "insulation": "60 °C", "current_dc": "60 A"},
        "a US boat": {"rule": "us-boats-33-cfr-183", "insulation": "105 °C", "current_dc": "80 A"},
        "a US boat's engine space": {"rule": "us-boats-33-cfr-183", "insulation": "105 °C", "terminal_temperature": "105 °C", "engine_space": "yes"},
        "a hotter engine space": {"rule": "us-boats-33-cfr-183", "insulation": "105 °C", "terminal_temperature": "105 °C", "engine_space": "yes", "ambient": "60 °C"},
        "cold": {"rule": "bs-7671-flexible", "ambient": "0 °C"},
        "hot": {"rule": "bs-7671-flexible", "ambient": "50 °C"},
        "AWG": {"rule": "us-boats-33-cfr-183", "conductor": "awg", "current_dc": "60 A"},
        "a bundle below 50 V": {"rule": "us-boats-33-cfr-183", "bundle": "4"},
        "a bundle at 60 V": {"rule": "us-boats-33-cfr-183", "bundle": "4", "voltage_nominal": "60 V", "current_dc": "40 A"},
        "a bundle without factors": {"rule": "bs-7671-flexible", "bundle": "4"},
        "a table not held": {"rule": "iso-13297-boats"},
        "a table not held, and no size for the drop": {"rule": "iso-13297-boats", "current_dc": "900 A", "length_one_way": "20 m"},
        "it fits": {"rule": "bs-7671-flexible", "area": "70 mm²"},
        "it drops too much": {"rule": "bs-7671-flexible", "area": "35 mm²", "length_one_way": "6 m", "current_dc": "80 A"},
        "it overheats": {"rule": "bs-7671-clipped", "area": "16 mm²", "length_one_way": "0.3 m"},
        "below its table": {"rule": "bs-7671-flexible", "area": "10 mm²", "current_dc": "20 A"},
        "nothing fits": {"rule": "bs-7671-flexible", "current_dc": "600 A"},
        "nothing fits at 24 V": {"rule": "bs-7671-flexible", "current_dc": "600 A", "voltage_nominal": "24 V"},
        "a lot at 12 V": {"rule": "bs-7671-flexible", "current_dc": "220 A", "ripple": "0"},
        "close": {"rule": "bs-7671-flexible", "current_dc": "195 A", "ripple": "0", "length_one_way": "0.5 m", "terminal_temperature": "90 °C", "ambient": "30 ± 2 °C"},
        "a small current": {"rule": "bs-7671-flexible", "current_dc": "10 A"},
        "from AC power": {"rule": "bs-7671-flexible", "power_ac": "1200 W", "voltage_min": "10.5 V"},
        "from AC power and points": {"rule": "bs-7671-flexible", "power_ac": "1200 W", "voltage_min": "10.5 V", "points": "10%:86%, 50%:91%, 100%:89%"},
        "good terminals": {"rule": "bs-7671-flexible", "terminal_temperature": "90 °C"},
        "an AWG size on a metric run": {"rule": "us-boats-33-cfr-183", "area": "2/0 AWG"},
        "nothing known": {"rule": "us-boats-33-cfr-183", "length_one_way": "unknown", "insulation": "unknown", "terminal_temperature": "unknown", "ambient": "unknown", "ripple": "unknown"},
        "a wide range": {"rule": "bs-7671-flexible", "current_dc": "20 to 390 A"},
    },
    "standby": {
        "defaults": {},
        "a small one, part of the day": {"standby_power": "6 W", "hours_on": "10 h"},
        "a large one": {"standby_power": "35 W", "battery_capacity": "120 Ah"},
        "by current": {"standby_current": "1.2 A"},
        "search mode": {"search_power": "2 W", "wake_fraction": "0.3"},
        "search mode, not known": {"search_power": "2 W", "wake_fraction": "unknown"},
        "another that takes less": {"other_standby_power": "5 W"},
        "another that takes more": {"standby_power": "6 W", "other_standby_power": "15 W"},
        "nothing known": {"standby_power": "unknown", "hours_on": "unknown", "sun_hours": "unknown"},
        "a big bank": {"battery_capacity": "800 Ah", "depth_limit": "80 %", "voltage_dc": "25.6 V"},
        "stated ranges": {"standby_power": "15 ± 5 W", "voltage_dc": "12 to 13.5 V"},
    },
    "conversion-loss": {
        "defaults": {},
        "nothing plugged in": {"power_ac": "0 W"},
        "a big load": {"power_ac": "1500 W"},
        "a motor": {"power_ac": "300 W", "power_factor": "0.6"},
        "points": {"points": "10%:86%, 50%:91%, 100%:89%", "power_ac": "500 W"},
        "points in watts": {"points": "200 W:86%; 2000 W:89%"},
        "best at full load": {"efficiency_full": "90 %", "efficiency_peak": "90 %", "power_ac": "1000 W"},
        "no standby": {"standby_power": "0 W", "power_ac": "100 W"},
        "nothing at all": {"standby_power": "0 W", "power_ac": "0 W"},
        "nothing known": {"power_ac": "unknown", "standby_power": "unknown", "efficiency_full": "unknown", "efficiency_peak": "unknown", "power_factor": "unknown"},
    },
}  # fmt: skip

FOUND = {
    "supply-path": {
        "no-operating-point": ("stop", "collapses"),
        "below-cut-out": ("stop", "drops out"),
        "battery-limit": ("stop", "above the battery's limit"),
        "hunting": ("caution", "drops out and starts again"),
        "stays-off": ("caution", "drops out and stays off"),
        "may-trip": ("caution", "defaults"),
        "current-high": ("caution", "a big load at 12 V"),
        "joints-warm": ("caution", "poor joints"),
        "above-rating": ("caution", "a start above the rating"),
        "start-limits-unknown": ("note", "a start"),
        "start-rides-through": ("note", "a start that rides through"),
        "rest-voltage-flat": ("note", "lithium"),
        "trip-outside-table": ("note", "trips only when empty"),
        "loss-points": ("note", "points"),
        "cut-out-no-guard": ("note", "defaults"),
        "fuse": ("note", "defaults"),
    },
    "dc-cable": {
        "none-fits": ("stop", "nothing fits"),
        "conductor-too-hot": ("stop", "it overheats"),
        "size-not-held": ("stop", "a table not held"),
        "current-high": ("caution", "a lot at 12 V"),
        "size-close": ("caution", "close"),
        "rule-scope": ("note", "a US boat"),
        "bundle-below-50": ("note", "a bundle below 50 V"),
        "terminals-decide": ("note", "metric"),
        "table-starts": ("note", "a small current"),
        "loss-points": ("note", "from AC power and points"),
        "fuse": ("note", "metric"),
        "drop-is-part": ("note", "metric"),
    },
    "standby": {
        "share-large": ("caution", "a large one"),
        "other-inverter": ("note", "another that takes less"),
        "search-limits": ("note", "search mode"),
        "clamp-offset": ("note", "by current"),
        "off-may-not-be-off": ("note", "defaults"),
    },
    "conversion-loss": {
        "load-small": ("caution", "defaults"),
        "power-factor": ("note", "a motor"),
        "loss-points": ("note", "points"),
        "weights-are-solar": ("note", "defaults"),
    },
}

EVERY = [(calculator, name) for calculator, cases in CASES.items() for name in cases]


def answer(calculator, typed=None, **more):
    """The answer to typed text; `typed` may be the name of a case."""
    if isinstance(typed, str):
        typed = CASES[calculator][typed]
    return run(CALCULATORS[calculator], {**(typed or {}), **more})


def value(result, name):
    """The likely value of an output, in SI units."""
    return result.output(name).value


def levels(result):
    """Codes of the findings with their levels."""
    return {finding.code: finding.level for finding in result.findings}
