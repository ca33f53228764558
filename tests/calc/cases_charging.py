"""Inputs for putting the energy back and for a whole trip; see cases.py. Trips are kept to a few days and an hour's step."""

from calc import tables
from calc.calculators import CALCULATORS, chemistry

PLAIN = {"energy": "800 Wh", "chemistry": "agm", "capacity": "200 Ah", "panel_power": "200 W", "sun_hours": "4 h"}
CHARGED = {**PLAIN, "mains": "generator", "charger_current": "40 A", "generator_place": "away", "co_alarm": "yes"}
SPLIT = {**PLAIN, "panel_power": "0 W", "driving": "split", "fused_both_ends": "yes"}
LITHIUM = {"chemistry": chemistry.LITHIUM}

CLEAR_SKY = next(row["place"] for row in tables.load("sun_hours_clear_sky").rows if row["place"] not in tables.load("sun_hours_typical_year").column("place"))
DAYS = {**LITHIUM, "capacity": "100 Ah", "depth_limit": "90 %", "sun_hours": "4 h", "days": "2", "step": "60 min", "panel_power": "200 W", "loads": "18-22: 60 W", "loads_dc": "0-24: 15 W must"}

CASES = {
    "recharge": {
        "the example": CALCULATORS["recharge"].shown(),
        "defaults": {},
        "sun alone": PLAIN,
        "too little sun": {**PLAIN, "panel_power": "50 W"},
        "perhaps enough sun": {**PLAIN, "panel_power": "300 W", "sun_hours": "5 h"},
        "a place and a month": {"sun_hours": "", "place": "sydney", "month": "jun"},
        "a charger": CHARGED,
        "only the clear sky is held": {"place": CLEAR_SKY},
        "a cold string near the limit": {"panel_voltage_open_circuit": "22 V", "panels_in_series": "2", "controller_voltage_limit": "50 V"},
        "the mains": {**CHARGED, "mains": "mains"},
        "a generator near a door": {**CHARGED, "generator_place": "near"},
        "a generator, place and alarm unsaid": {**CHARGED, "generator_place": "unsaid", "co_alarm": "unsaid"},
        "a small generator": {**CHARGED, "generator_rating": "700 VA"},
        "a small battery": {**CHARGED, "capacity": "80 Ah"},
        "a split connection": SPLIT,
        "a split connection, fused at one end": {**SPLIT, "fused_both_ends": "no"},
        "a split connection, fuses unsaid": {**SPLIT, "fused_both_ends": "unsaid"},
        "an alternator that never fills it": {**SPLIT, **LITHIUM, "alternator_voltage": "12.9 V"},
        "lithium on an old alternator": {**SPLIT, **LITHIUM, "alternator_current_idle": "20 A"},
        "in North America": {**SPLIT, "region": "120-v-60-hz"},
        "a DC-DC unit": {**PLAIN, "driving": "dc-dc"},
        "lithium below freezing": {**LITHIUM, "temperature": "-1 °C"},
        "lithium in the cool": {**LITHIUM, "temperature": "5 °C"},
        "a frozen battery": {**PLAIN, "energy": "2300 Wh", "temperature": "-12 °C"},
        "a profile too high": {**LITHIUM, "voltage_charge": "15.5 V"},
        "a cold string": {"panel_voltage_open_circuit": "45 V", "panels_in_series": "3", "controller_voltage_limit": "100 V"},
        "a damaged battery": {"battery_signs": "damaged"},
        "the panel's own NOCT": {**PLAIN, "noct": "47 °C"},
        "a derate all in": {**PLAIN, "derate": "0.68"},
        "nothing known": {"energy": "unknown", "sun_hours": "unknown", "clearness": "unknown", "battery_efficiency": "unknown", "taper_time": "unknown", "charger_efficiency": "unknown", "charger_power_factor": "unknown"},
    },
    "trip": {
        "it runs short": {**DAYS, "sun_hours": "0, 0, 6", "days": "3"},
        "two days": DAYS,
        "it lasts": {**DAYS, "panel_power": "400 W"},
        "must-haves fail": {**DAYS, "panel_power": "0 W", "days": "9"},
        "low for days": {**DAYS, "chemistry": "flooded", "depth_limit": "50 %", "panel_power": "20 W", "days": "8"},
        "dull days": {**LITHIUM, "capacity": "200 Ah", "depth_limit": "90 %", "panel_power": "600 W", "sun_hours": "5, 5, 5, 4, 2, 1.2, 1.0, 1.5, 3, 4.5, 5, 5, 4, 3.8", "step": "60 min",
                      "loads": "", "loads_dc": "6-18: 48 W, 18-6: 72 W", "inverter_on": "when-needed"},
        "it runs down": {**DAYS, "panel_power": "120 W", "capacity": "200 Ah", "days": "3"},
        "it may run short": {**DAYS, "panel_power": "60 W", "capacity": "145 Ah", "inverter_on": "when-needed", "days": "3"},
        "a generator": {**DAYS, "charger_current": "20 A", "mains_days": "2"},
        "lead": {**DAYS, "chemistry": "agm"},
        "no smaller inverter": {**DAYS, "rating": "150 VA", "standby_power": "1 W"},
        "it drops out": {**DAYS, "loads": "12-13: 1500 W", "battery_resistance": "20 mΩ", "path_resistance": "10 mΩ"},
        "below freezing": {**DAYS, "temperature": "-1 °C"},
        "lithium run flat": {**LITHIUM, "loads": "", "loads_dc": "0-24: 100 W must", "sun_hours": "1", "days": "3"},
        "sums of the day": {**DAYS, "loads": ""},
        "points": {**DAYS, "points": "10%:86%, 50%:91%, 100%:89%"},
    },
}  # fmt: skip

FOUND = {
    "recharge": {
        "battery-damaged": ("stop", "a damaged battery"),
        "lithium-cold": ("stop", "lithium below freezing"),
        "lead-frozen": ("stop", "a frozen battery"),
        "voltage-too-high": ("stop", "a profile too high"),
        "fused-one-end": ("stop", "a split connection, fused at one end"),
        "carbon-monoxide": ("stop", "a generator near a door"),
        "string-too-high": ("stop", "a cold string"),
        "string-near-limit": ("caution", "a cold string near the limit"),
        "lithium-cool": ("caution", "lithium in the cool"),
        "falls-short": ("caution", "too little sun"),
        "may-fall-short": ("caution", "perhaps enough sun"),
        "clear-sky-only": ("caution", "only the clear sky is held"),
        "fuses-unsaid": ("caution", "a split connection, fuses unsaid"),
        "alternator-overloaded": ("caution", "lithium on an old alternator"),
        "lithium-on-alternator": ("caution", "lithium on an old alternator"),
        "never-full": ("caution", "an alternator that never fills it"),
        "current-too-large": ("caution", "a small battery"),
        "generator-outside": ("caution", "a generator, place and alarm unsaid"),
        "generator-too-small": ("caution", "a small generator"),
        "average-day": ("note", "sun alone"),
        "unit-input": ("note", "a DC-DC unit"),
        "current-fades": ("note", "a split connection"),
        "fuel-saving-alternator": ("note", "a DC-DC unit"),
        "tail-is-long": ("note", "a charger"),
        "own-inverter": ("note", "a charger"),
        "fixed-wiring": ("note", "the mains"),
    },
    "trip": {
        "lithium-cold": ("stop", "below freezing"),
        "drops-out": ("stop", "it drops out"),
        "lithium-empty": ("stop", "lithium run flat"),
        "must-have-fails": ("caution", "must-haves fail"),
        "low-for-days": ("caution", "low for days"),
        "average-misleads": ("caution", "dull days"),
        "runs-down": ("caution", "it runs down"),
        "may-run-short": ("caution", "it may run short"),
        "generator": ("caution", "a generator"),
        "rate-effect": ("note", "lead"),
        "what-if": ("note", "two days"),
        "no-smaller": ("note", "no smaller inverter"),
        "peaks-hidden": ("note", "two days"),
        "loss-points": ("note", "points"),
    },
}
