"""What a cable may carry, and the size it takes: the rules, their tables and the fields they ask for.

The functions read a run of cable from a namespace with the fields below and, for its
length and kind, those of `cable`.

Run               a run of cable as another calculator's fields describe it
ampacity          heating current a size may carry, and what its temperature follows
run_of            one size of one kind: current allowed, temperature, resistance, drop
smallest          smallest standard sizes for the drop, for the heat, for a fuse, for all three
check             what contradicts itself
explain_ampacity  the working behind the current allowed
"""

from functools import cache

from calc import tables
from calc.calculators import cable
from calc.calculators.form import Choice, Field, Unknown
from calc.errors import FieldProblem
from calc.physics import conductor

AMBIENT_OF_TABLES = 30.0  # °C, in 33 CFR 183.425 Table 5 and in BS 7671 alike
ENGINE_SPACE_AMBIENT = 50.0  # °C, 33 CFR 183.425 Table 5 note 1
ENGINE_SPACE_FACTOR_105 = 0.85  # 33 CFR 183.425 Table 5 note 1; the other columns follow the square law

RULES = {
    "us-boats-33-cfr-183": "United States boats with petrol inboard engines: 33 CFR 183.425",
    "bs-7671-flexible": "BS 7671 Table 4F2A: 90 °C flexible, two cables touching",
    "bs-7671-clipped": "BS 7671 Table 4E1A: 90 °C, clipped to a surface",
    "bs-7671-conduit": "BS 7671 Table 4E1A: 90 °C, in conduit",
    "bs-7671-rubber": "BS 7671 Table 4F1A: 60 °C rubber flexible",
    "iso-13297-boats": "ISO 13297 boats: this handbook does not hold the table",
}
TABLE_STARTS = "The table held here starts at 35 mm²: for a small current a thinner cable may do under the full standard."
_BS_TABLES = {
    "bs-7671-flexible": "4F2A", "bs-7671-clipped": "4E1A method C",
    "bs-7671-conduit": "4E1A method B", "bs-7671-rubber": "4F1A",
}  # fmt: skip

RULE = Choice(
    "rule", "Whose rule for heat", RULES, default=None, example="bs-7671-flexible",
    hint="What a cable may carry differs by country, vehicle and boat: choose the rule that applies to you.",
)  # fmt: skip
INSULATION = Field(
    "insulation", "Insulation's temperature rating", "°C", default="90 °C", minimum="60 °C", maximum="200 °C",
    unknown=Unknown("60 °C", "60 °C", "60 °C", "common practice: unmarked cable counts as 60 °C"),
    hint="Printed on the cable.", more=True,
)  # fmt: skip
TERMINAL_TEMPERATURE = Field(
    "terminal_temperature", "Temperature rating of lugs and terminals", "°C", default="75 °C", minimum="50 °C", maximum="200 °C",
    unknown=Unknown("60 °C", "60 °C", "75 °C", "common practice: 60 to 75 °C parts"),
    hint="Lugs, fuse holders and the inverter's studs: usually 60 to 75 °C.", more=True,
)  # fmt: skip
AMBIENT = Field(
    "ambient", "Temperature around the cable", "°C", default="30 °C", minimum="-40 °C", maximum="120 °C",
    tolerance="5 °C", basis="common practice", unknown=Unknown("40 °C", "30 °C", "50 °C", "common practice: a closed locker in summer"), more=True,
)  # fmt: skip
ENGINE_SPACE = Choice("engine_space", "Runs through an engine space", {"no": "no", "yes": "yes"}, default="no", more=True)
BUNDLE = Field(
    "bundle", "Loaded conductors bundled together", "", default="2", minimum="2", maximum="100",
    hint="2 is this cable's own out and back.", more=True,
)  # fmt: skip
RIPPLE = Field(
    "ripple", "Ripple of the DC current", "", default="unknown", minimum="0", maximum="1.5",
    unknown=Unknown("0.8", "0", "0.8", "common practice: 0.8 for a simple input; heat is judged at the bad end"),
    hint="Amplitude over mean. It heats the cable but does not show on a DC clamp.", more=True,
)  # fmt: skip
DROP_LIMIT = Field(
    "drop_limit", "Largest voltage drop", "%", default="3 %", minimum="0.1 %", maximum="20 %",
    hint="3 % for feeders and vital equipment, 10 % elsewhere (ISO 10133, ABYC E-11).",
)  # fmt: skip


class Run:
    """A run of cable read from a calculator that calls some things by other names.

    Attributes
    ----------
    seen : SimpleNamespace
        Values of the calculator's fields.
    own : dict
        What this run has in place of them, or beside them.
    """

    def __init__(self, seen, **own):
        self.seen = seen
        self.own = own

    def __getattr__(self, name):
        return self.own[name] if name in self.own else getattr(self.seen, name)


def check(v):
    """Raise FieldProblem where the rule, the cable and the place contradict each other.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the fields above, in SI units.
    """
    if v.bundle != int(v.bundle):
        raise FieldProblem("bundle", "enter a whole number of conductors")
    wanted = {"bs-7671-rubber": 60.0}.get(v.rule, 90.0) if v.rule in _BS_TABLES else 60.0
    if v.insulation < wanted:
        raise FieldProblem("insulation", f"the table of that rule is for insulation of {wanted:.0f} °C and above: choose another rule, or another cable")
    limit = temperature_limit(v)
    if ambient_of(v) >= limit:
        part = "insulation" if v.insulation <= v.terminal_temperature else "terminal_temperature"
        raise FieldProblem("engine_space" if v.engine_space == "yes" else "ambient",
                           f"at {ambient_of(v):.0f} °C around it nothing is left of {part.replace('_', ' ')} {limit:.0f} °C: enter a cooler place, or better parts")  # fmt: skip


def check_area(field, v):
    """Raise FieldProblem for a cable to check that lies below the table of its rule.

    Parameters
    ----------
    field : str
        Name of the field with the cross-section.
    v : SimpleNamespace
        Values of the fields above and `area`, in SI units.
    """
    if v.area is None or not size_allowed(v) or _row(v.rule, v.insulation, v.area) is not None:
        return
    rows, _ = _ratings(v.rule, v.insulation)
    first, last = rows[0][0], rows[-1][0]
    side = "below" if v.area < first else "above"
    raise FieldProblem(field, f"{cable.said(v.area, v)} lies {side} that rule's table: enter {cable.said(first, v)} to {cable.said(last, v)}, or choose another rule")


def ambient_of(v):
    """Temperature around the cable, [°C]: at least that of an engine space where it runs through one."""
    return max(v.ambient, ENGINE_SPACE_AMBIENT) if v.engine_space == "yes" else v.ambient


def temperature_limit(v):
    """Temperature the conductor may reach, [°C]: that of the insulation or of the terminals."""
    return min(v.insulation, v.terminal_temperature)


def size_allowed(v):
    """Whether a size may be given: it rests only on tables that were read."""
    return v.rule != "iso-13297-boats" and not (v.rule in _BS_TABLES and v.bundle > 2)


def starts_thick(v, area):
    """Whether a size is only as thick as it is because the rule's table starts there.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the fields above.
    area : float or None
        Size that heat and fuse ask for, [m²].

    Returns
    -------
    bool
        True where `TABLE_STARTS` belongs beside it.
    """
    return v.rule in ("bs-7671-flexible", "bs-7671-rubber") and area is not None and area <= _ratings(v.rule, v.insulation)[0][0][0] * 1.004


def why_no_size(v):
    """What to tell a reader who gets no size.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the fields above.

    Returns
    -------
    str
        Why, and what to ask.
    """
    if v.rule == "iso-13297-boats":
        return "This handbook does not hold the current table of ISO 13297, and a size from memory is no size. Ask the boat's builder or surveyor for the table's value at your insulation, and whether the cable passes an engine space."
    return "Cables grouped with others need BS 7671's grouping factors, which this handbook does not hold. Separate this cable from the others, or ask an electrician for the factor."


@cache
def _ratings(rule, insulation):
    """(area, tabulated current) thin to thick, and the insulation temperature they stand for."""
    if rule in _BS_TABLES:
        rows = [row for row in tables.load("ampacity_bs_7671").values if row["table"] == _BS_TABLES[rule]]
        return tuple((row["area"], row["current"]) for row in rows), rows[0]["insulation"]
    if rule == "us-boats-33-cfr-183":
        table = tables.load("ampacity_33_cfr_183_425").values
        column = max(row["insulation"] for row in table if row["insulation"] <= insulation)
        return tuple((row["awg"], row["current"]) for row in table if row["insulation"] == column), column
    return (), insulation


@cache
def _row(rule, insulation, area):
    """Largest listed size not above this one and its tabulated current; None outside the table.

    A little above the last row, as 4/0 AWG is above 95 mm², that row still stands for it; a
    whole size above it does not.
    """
    rows, _ = _ratings(rule, insulation)
    if not rows or area > 1.2 * rows[-1][0]:
        return None
    return max((row for row in rows if row[0] <= area * 1.004), default=None)


def _tabulated(v, area):
    return _row(v.rule, v.insulation, area)


def _bundle_factor(v):
    """33 CFR bundles count from 50 V; the BS 7671 grouping table is not held (see `why_no_size`)."""
    if v.rule != "us-boats-33-cfr-183" or v.voltage_nominal < 50 or v.bundle < 3:
        return 1.0
    table = tables.load("bundle_33_cfr_183_425").values
    return [row["factor"] for row in table if row["conductors_from"] <= v.bundle][-1]


def ampacity(v, area):
    """Heating current a size may carry here, and the current and rise its temperature follows.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the fields above, and `voltage_nominal`.
    area : float
        Cross-section, [m²].

    Returns
    -------
    tuple of float
        Current allowed [A], tabulated current [A] and the rise it stands for [K]; Nones
        where the rule's table has no such size.
    """
    row = _tabulated(v, area)
    if row is None:
        return None, None, None
    _, rated = _ratings(v.rule, v.insulation)
    rise_rated = rated - AMBIENT_OF_TABLES
    around = max(ambient_of(v), AMBIENT_OF_TABLES)
    current = row[1] * _bundle_factor(v)
    allowed = current * conductor.ambient_factor(max(rated - around, 0.0), rise_rated)
    if v.engine_space == "yes" and rated == 105:
        allowed = min(allowed, current * ENGINE_SPACE_FACTOR_105)
    if v.terminal_temperature < rated:
        allowed = min(allowed, conductor.current_for_temperature(max(v.terminal_temperature - around, 0.0), rise_rated, current))
    return allowed, current, rise_rated


def run_of(v, kind, area, current, heating):
    """Everything about one size of one kind on this run.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the fields above, `voltage_nominal` and `length_one_way`.
    kind : str
        "class-5", "class-2" or "awg".
    area : float
        Cross-section, [m²].
    current, heating : float
        Mean and heating current, [A].

    Returns
    -------
    tuple of float
        Current allowed [A] (or None), temperature [°C], resistance both ways [Ω], drop as
        a share of nominal.
    """
    allowed, rated_current, rise = ampacity(v, area)
    limit = temperature_limit(v)
    warm = limit if allowed is None else conductor.conductor_temperature(ambient_of(v), rise, heating, rated_current)
    per_length = cable.resistance_per_length(area, kind)
    # Above its rating a conductor's temperature is only a verdict; copper at the limit sets the drop.
    resistance = conductor.resistance_loop(per_length, v.length_one_way, min(warm, limit) - 20.0, conductor.TEMPERATURE_COEFFICIENT_COPPER)
    return allowed, warm, resistance, conductor.voltage_drop(current, resistance) / v.voltage_nominal


def smallest(v, kind, current, heating, rating):
    """Smallest standard sizes of one kind.

    Parameters
    ----------
    v : SimpleNamespace
        As for `run_of`, and `drop_limit`.
    kind : str
        "class-5", "class-2" or "awg".
    current, heating : float
        Mean and heating current, [A].
    rating : float or None
        Smallest standard fuse that carries the current, [A]; None where no fuse does.

    Returns
    -------
    tuple of float
        Areas [m²] for the drop, for the heat, for the fuse, for all three; None where no size does.
    """
    for_drop = for_heat = for_fuse = None
    for area, _ in cable.sizes(kind):
        allowed, _, _, drop = run_of(v, kind, area, current, heating)
        if for_drop is None and drop <= v.drop_limit:
            for_drop = area
        if for_heat is None and allowed is not None and allowed >= heating:
            for_heat = area
        if for_fuse is None and rating is not None and allowed is not None and allowed >= rating:
            for_fuse = area
        if for_drop is not None and for_fuse is not None:  # a fuse is never below the heating current
            return for_drop, for_heat, for_fuse, max(for_drop, for_fuse)
    return for_drop, for_heat, for_fuse, None


def explain_ampacity(case, area, allowed):
    """Write into the working what a size may carry.

    Parameters
    ----------
    case : Case
        The run.
    area, allowed : float
        The size [m²] and the current found for it [A].
    """
    v = case.values
    _, current, rise = ampacity(v, area)
    row = f"table row {cable.said(_tabulated(v, area)[0], v)}"
    source = "bs7671" if v.rule in _BS_TABLES else "cfr33"
    clause = _BS_TABLES.get(v.rule, "Table 5")
    around = max(ambient_of(v), AMBIENT_OF_TABLES)
    _, rated = _ratings(v.rule, v.insulation)
    if v.terminal_temperature < v.insulation:
        case.cite("terminals")
    if v.engine_space == "yes" and source == "cfr33":
        case.cite("cfr33-notes")
    if v.engine_space == "yes" and rated == 105 and allowed == current * ENGINE_SPACE_FACTOR_105:
        case.step("I_allowed", f"what it may carry in an engine space, {row}", "I_table*f_engine", {"I_table": (current, "A"), "f_engine": (ENGINE_SPACE_FACTOR_105, "")}, allowed, "A", "cfr33", "Table 5 note 1")
        return
    case.step(
        "I_allowed", f"what it may carry here, {row}", "I_table*sqrt((T_limit - T_around)/DeltaT_table)",
        {"I_table": (current, "A"), "T_limit": (min(rated, v.terminal_temperature), "°C"), "T_around": (around, "°C"), "DeltaT_table": (rise, "K")}, allowed, "A", source, clause,
    )  # fmt: skip
