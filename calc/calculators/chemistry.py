"""Batteries by chemistry: what is usual, what each stands, and the fields that describe one.

Shared by every calculator that has a battery in it. The figures stand in calc/tables
(battery_voltages, battery_limits, battery_yield, and two for lead-acid alone), each with
its source; the battery's own sheet goes before all of them.
"""

from dataclasses import replace
from functools import cache
from types import SimpleNamespace

from calc import tables
from calc.calculators.form import Choice, Field, Unknown
from calc.errors import FieldProblem
from calc.physics import battery
from calc.units import format_number, restate_quantity

LITHIUM = "lithium-iron-phosphate"
LEAD = ("flooded", "agm", "gel", "lead-acid")
WORDS = {
    "flooded": "flooded lead-acid, with caps",
    "agm": "AGM lead-acid",
    "gel": "gel lead-acid",
    "lead-acid": "lead-acid, kind not known",
    LITHIUM: "lithium iron phosphate",
}
REST_TABLES = dict.fromkeys(LEAD, "rest_voltage_lead_acid_bci") | {LITHIUM: "rest_voltage_lfp_pybamm"}
CHARGE_REDUCED_BELOW = 10.0  # °C: lithium iron phosphate is charged more slowly from here down; from memory
RESISTANCE_OF = 100 * 3600.0  # C: the battery whose resistance the table holds

CHEMISTRY = Choice(
    "chemistry", "Kind of battery", WORDS, default="lead-acid",
    hint="On the label. Caps to fill with water: flooded. AGM and gel are sealed lead-acid.",
)  # fmt: skip


@cache
def facts(chemistry):
    """Every figure the tables hold for a chemistry, in SI units (°C for temperatures).

    Parameters
    ----------
    chemistry : str
        One of `WORDS`; "lead-acid" stands for a lead-acid battery of unknown kind.

    Returns
    -------
    SimpleNamespace
        Per cell: `voltage_cell`, `voltage_float`, `voltage_charge`, `voltage_charge_max`,
        `voltage_discharge_min`; `cells` of a 12 V battery; `charge_temperature_min` and
        `_max`, `discharge_temperature_min` and `_max`; currents per capacity `charge_rate`,
        `charge_rate_max`, `discharge_rate`, `discharge_rate_max`; `efficiency_coulombic`,
        `efficiency_energy`, `depth_limit`, `specific_energy` with `_min` and `_max`,
        `resistance_100_ah` and `rest_voltage_spread` of a 12 V battery. For lead-acid also
        `peukert` with `_min` and `_max`, and `current_float` and `current_boost`, the
        gassing currents per capacity; None for lithium.
    """
    names = ["battery_voltages", "battery_limits", "battery_yield", "peukert_lead_acid", "gassing_current_lead_acid"]
    found = {}
    for table in map(tables.load, names):
        row = next((row for row in table.values if row["chemistry"] == chemistry), dict.fromkeys(table.columns))
        found |= row
    return SimpleNamespace(**{**found, "chemistry": chemistry})


@cache
def rest_curve(chemistry):
    """Rest voltages of a 12 V battery, rising, and the states of charge beside them.

    Parameters
    ----------
    chemistry : str
        One of `WORDS`.

    Returns
    -------
    tuple of list
        Voltages [V] and states of charge, 0 to 1.
    """
    table = tables.load(REST_TABLES[chemistry])
    return table.column("voltage"), table.column("state_of_charge")


def blocks(voltage):
    """How many 12 V batteries stand in series behind a nominal or rest voltage.

    Parameters
    ----------
    voltage : float
        Nominal, or at rest, [V].

    Returns
    -------
    int
        1, 2, 3 or 4.
    """
    return 1 if voltage < 17 else 2 if voltage < 33 else 3 if voltage < 45 else 4


def cells(chemistry, voltage):
    """Cells in series behind a nominal or rest voltage.

    Parameters
    ----------
    chemistry : str
        One of `WORDS`.
    voltage : float
        Nominal, or at rest, [V].

    Returns
    -------
    int
        For example 12 for a lead-acid bank of 24 V.
    """
    return int(facts(chemistry).cells) * blocks(voltage)


def resistance_new(chemistry, voltage, capacity):
    """Resistance over minutes of a new battery: in proportion to its voltage, inversely to its capacity.

    Parameters
    ----------
    chemistry : str
        One of `WORDS`.
    voltage : float
        Nominal voltage of the bank, [V].
    capacity : float
        Rated capacity of the bank, [C].

    Returns
    -------
    float
        [Ω]. Known by common practice only: it never sizes a fuse.
    """
    return facts(chemistry).resistance_100_ah * blocks(voltage) * RESISTANCE_OF / capacity


def by_chemistry(field, unknown):
    """A field whose "I don't know" goes by the kind of battery.

    Parameters
    ----------
    field : Field
        The field; its own Unknown is that of lead-acid of unknown kind.
    unknown : callable
        From a chemistry's facts to its Unknown.

    Returns
    -------
    Field
        With a variant for each chemistry.
    """
    plain = replace(field, unknown=unknown(facts("lead-acid")))
    return replace(plain, by="chemistry", variants={kind: replace(plain, unknown=unknown(facts(kind))) for kind in WORDS})


def changed(field, **changes):
    """A field of this module with something changed, in all its variants.

    Parameters
    ----------
    field : Field
        One that goes by the chemistry.
    changes : dict
        Attributes to replace, as keywords.

    Returns
    -------
    Field
        The copy.
    """
    variants = {kind: replace(variant, **changes) for kind, variant in field.variants.items()}
    return replace(field, **changes, variants=variants)


def _exponent(kind):
    if kind.peukert is None:
        return Unknown("1", "1", "1", "not used: Peukert's law is for lead-acid")
    likely, low, high = (format_number(value, 3) for value in (kind.peukert, kind.peukert_min, kind.peukert_max))
    return Unknown(likely, low, high, f"common practice for {WORDS[kind.chemistry]}")


def _depth(kind):
    share = restate_quantity(kind.depth_limit, "%")
    return Unknown(share, share, share, f"common practice for {WORDS[kind.chemistry]}")


PEUKERT = by_chemistry(
    Field(
        "peukert", "Peukert exponent", "", default="unknown", minimum="1", maximum="1.6",
        hint="Lead-acid only, and from the same sheet as the rated hours.", more=True,
    ),
    _exponent,
)  # fmt: skip
DEPTH_LIMIT = by_chemistry(
    Field(
        "depth_limit", "Share of the battery you are willing to use", "%", default="unknown", minimum="1 %", maximum="100 %",
        hint="Not known: 50 % for lead-acid, 80 % for lithium.",
    ),
    _depth,
)  # fmt: skip
RESISTANCE = Field(
    "battery_resistance", "Battery resistance, if measured", "mΩ", minimum="0.05 mΩ", maximum="1000 mΩ",
    tolerance="20 %", basis="common practice: it rises as a battery empties, cools and ages",
    hint="From a two-load test. Left blank: from kind and capacity.", more=True,
)  # fmt: skip
RESISTANCE_RISE = Field(
    "resistance_rise", "Battery resistance against new", "", default="unknown", minimum="0.5", maximum="10",
    unknown=Unknown("1.5", "0.8", "3", "common practice: 1 when new and full, 2 to 3 when old, cold or nearly empty"),
    hint="Used where the resistance is not measured.", more=True,
)  # fmt: skip


VOLTAGE_NOMINAL = Field(
    "voltage_nominal", "Nominal voltage of the battery", "V", default="12 V", minimum="11 V", maximum="53 V",
    hint="12, 24, 36 or 48 V; the 12.8 V on a lithium battery is 12 V here.",
)  # fmt: skip
CAPACITY = Field(
    "capacity", "Capacity on the label, all strings together", "Ah", default="100 Ah", minimum="1 Ah", maximum="5000 Ah",
    unknown=Unknown("100 Ah", "80 Ah", "120 Ah", "common practice: one battery"),
    hint="In series the amp-hours of one; side by side they add up.",
)  # fmt: skip
RATE_HOURS = Field(
    "rate_hours", "Rated hours of that capacity", "h", default="20 h", minimum="1 h", maximum="120 h",
    unknown=Unknown("20 h", "10 h", "20 h", "common practice: labels for vehicles and boats say 20 h"),
    hint="C20 on the label is 20 h. Lead-acid only, from the same sheet as the exponent.", more=True,
)  # fmt: skip
_TEMPERATURE = Field(
    "temperature", "Battery temperature", "°C", default="20 °C", minimum="-6.7 °C", maximum="60 °C",
    tolerance="5 °C", basis="common practice: a battery is seldom as warm or cold as the air",
    unknown=Unknown("15 °C", "0 °C", "30 °C", "common practice: a box in a vehicle in a mild climate"),
    hint="At its coldest in use. The table for lead-acid ends at −6.7 °C.", more=True,
)  # fmt: skip
TEMPERATURE = replace(_TEMPERATURE, by="chemistry", variants={LITHIUM: replace(_TEMPERATURE, minimum="-40 °C")})


def temperature_factor(chemistry, temperature):
    """Factor on the capacity a battery must have in the cold; 1 for lithium, for which no table is held.

    Parameters
    ----------
    chemistry : str
        One of `WORDS`.
    temperature : float
        [°C].

    Returns
    -------
    float
        At least 1.
    """
    if chemistry == LITHIUM:
        return 1.0
    table = tables.load("temperature_multiplier_worksheet")
    return battery.temperature_factor(temperature, table.column("temperature"), table.column("multiplier"))


def explain_temperature_factor(case, value):
    """Write the temperature factor into the working where it lies between two rows of its table.

    Parameters
    ----------
    case : Case
        The run.
    value : float
        The factor.
    """
    v = case.values
    rows = tables.load("temperature_multiplier_worksheet").values
    if v.chemistry == LITHIUM or v.temperature >= rows[-1]["temperature"]:
        return
    low, high = next((low, high) for low, high in zip(rows, rows[1:]) if v.temperature <= high["temperature"])
    case.step(
        "F_T", "temperature factor, between two rows of the table", "F_1 + (F_2 - F_1)*(T - T_1)/(T_2 - T_1)",
        {"F_1": (low["multiplier"], ""), "F_2": (high["multiplier"], ""), "T": (v.temperature, "°C"),
         "T_1": (low["temperature"], "°C"), "T_2": (high["temperature"], "°C")}, value, "", "pv-worksheet",
    )  # fmt: skip


def check_nominal(field, voltage):
    """Raise FieldProblem for a nominal voltage that batteries are not made up to.

    Parameters
    ----------
    field : str
        Name of the field.
    voltage : float
        Nominal, [V].
    """
    if not any(abs(voltage / nominal - 1) < 0.08 for nominal in (12, 24, 36, 48)):
        raise FieldProblem(field, f"{restate_quantity(voltage, 'V')} is not a nominal voltage here: enter 12, 24, 36 or 48 V")


def resistance(v, voltage, capacity):
    """Resistance of the battery: as measured, or from kind, capacity and wear.

    Parameters
    ----------
    v : SimpleNamespace
        Values of RESISTANCE, RESISTANCE_RISE and CHEMISTRY, in SI units.
    voltage : float
        Nominal voltage of the bank, [V].
    capacity : float
        Rated capacity of the bank, [C].

    Returns
    -------
    float
        [Ω].
    """
    if v.battery_resistance is not None:
        return v.battery_resistance
    return v.resistance_rise * resistance_new(v.chemistry, voltage, capacity)


def explain_resistance(case, voltage, capacity, value):
    """Write the battery's resistance into the working where it was not measured.

    Parameters
    ----------
    case : Case
        The run.
    voltage, capacity, value : float
        Nominal voltage [V], rated capacity [C] and the resistance found [Ω].
    """
    v = case.values
    if v.battery_resistance is not None:
        return
    case.step(
        "R_b", f"resistance of the battery, {WORDS[v.chemistry]}", "k_R*R_100*n*C_100/C",
        {"k_R": (v.resistance_rise, ""), "R_100": (facts(v.chemistry).resistance_100_ah, "mΩ"), "n": (float(blocks(voltage)), ""),
         "C_100": (RESISTANCE_OF, "Ah"), "C": (capacity, "Ah")}, value, "mΩ", "practice", "a new battery of 12 V and 100 Ah, n of them in series",
    )  # fmt: skip
