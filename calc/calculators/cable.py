"""Cable as it is sold: sizes, resistance by size, and the fields that describe a run of it."""

from functools import cache

from calc import tables
from calc.calculators.form import Choice, Field, Unknown
from calc.calculators.regions import by_region, said_in_awg
from calc.errors import FieldProblem
from calc.physics import conductor
from calc.units import format_number, format_quantity, from_si

LENGTH_ONE_WAY = Field(
    "length_one_way", "Cable length, one way", "m", default="2 m", minimum="0.05 m", maximum="50 m",
    tolerance="5 %", basis="common practice: measured along the route to 5 %",
    unknown=Unknown("2 m", "1 m", "4 m", "common practice: battery and inverter in one vehicle"),
    hint="From battery to inverter along the route; the way back is added here.",
)  # fmt: skip
CONDUCTOR = by_region(
    Choice(
        "conductor", "Kind of conductor",
        {"class-5": "flexible, mm² (IEC 60228 class 5)", "class-2": "stranded, mm² (IEC 60228 class 2)", "awg": "stranded, AWG"},
        default="class-5", hint="Flexible battery cable is class 5.", more=True,
    ),
    lambda region: {"default": "awg" if region.awg else "class-5"},
)  # fmt: skip
SERIES = ("awg", "class-5")
"""Where a size is looked for that its own kind of conductor does not have: an AWG size on a metric run, and the other way round."""


def area(one, awg):
    """A field for a cross-section whose default is a size sold in the region.

    Parameters
    ----------
    one : Field
        The field with its default in mm².
    awg : str
        The default where cable goes by AWG.

    Returns
    -------
    Field
        The same, by region.
    """
    return by_region(one, lambda region: {"default": awg if region.awg else one.default})


@cache
def sizes(kind):
    """Standard sizes of one kind of conductor, thin to thick.

    Parameters
    ----------
    kind : str
        "class-5", "class-2" or "awg".

    Returns
    -------
    tuple
        Pairs of cross-section [m²] and resistance per length at 20 °C [Ω/m].
    """
    if kind == "awg":
        areas = [tables.awg_area_of(size) for size in tables.AWG_SIZES]
        return tuple((area, _resistance_strand(area)) for area in areas)
    table = tables.load("copper_iec_60228")
    return tuple(zip(table.column("area"), table.column(kind.replace("-", "_"))))


def _resistance_strand(area):
    return conductor.resistance_per_length_solid(area, conductor.RESISTIVITY_COPPER_20, conductor.STRAND_LAY)


@cache
def resistance_per_length(area, kind):
    """Resistance per length at 20 °C of a size; one of another series keeps its own whatever the kind.

    Parameters
    ----------
    area : float
        Cross-section, [m²].
    kind : str
        "class-5", "class-2" or "awg".

    Returns
    -------
    float
        [Ω/m]; None where cable is not made in that size.
    """
    for series in (kind, *SERIES):
        for size, resistance in sizes(series):
            if abs(area - size) < 0.004 * size:
                return resistance
    return None


def source_of(area, kind):
    """Source and clause behind a resistance per length.

    Parameters
    ----------
    area : float
        Cross-section, [m²].
    kind : str
        "class-5", "class-2" or "awg".

    Returns
    -------
    tuple of str
        Source id and clause.
    """
    series = next(series for series in (kind, *SERIES) if any(abs(area - size) < 0.004 * size for size, _ in sizes(series)))
    if series == "awg":
        return "astm-b258", "area; resistance from IEC 60028 copper with 2 % lay"
    return "iec60228", "Table 3" if series == "class-5" else "Table 2"


def source_for(case, area, kind):
    """Source and clause behind a resistance per length, and beside them in the list what an AWG size rests on.

    Parameters
    ----------
    case : Case
        The run.
    area : float
        Cross-section, [m²].
    kind : str
        "class-5", "class-2" or "awg".

    Returns
    -------
    tuple of str
        Source id and clause.
    """
    source, clause = source_of(area, kind)
    if source == "astm-b258":
        case.cite("copper", "astm-b8")
    return source, clause


def check_area(field, area, kind):
    """Raise FieldProblem for a cross-section cable is not made in.

    Parameters
    ----------
    field : str
        Name of the field.
    area : float or None
        Cross-section, [m²].
    kind : str
        "class-5", "class-2" or "awg".
    """
    if area is None or resistance_per_length(area, kind) is not None:
        return
    series = [size for size, _ in sizes(kind)]
    near = [size for size in series if size < area][-1:] + [size for size in series if size > area][:1]
    words = " or ".join(size_name(size) for size in near)
    raise FieldProblem(field, f"cable is not made in {format_quantity(area, 'mm²')} here: enter {words}")


@cache
def awg_name(area):
    """AWG size of a cross-section, for example "2 AWG", or None.

    Parameters
    ----------
    area : float
        Cross-section, [m²].

    Returns
    -------
    str or None
        The name.
    """
    for size in tables.AWG_SIZES:
        if abs(area - tables.awg_area_of(size)) < 0.004 * area:
            return f"{size} AWG"
    return None


@cache
def size_name(area, awg_first=False):
    """A cross-section as a person says it: "35 mm²", or "2 AWG (33.6 mm²)".

    Parameters
    ----------
    area : float
        Cross-section, [m²].
    awg_first : bool
        Whether cable is sold by AWG here: then other sizes name the next one up.

    Returns
    -------
    str
        The name.
    """
    awg = awg_name(area)
    number = from_si(area, "mm²")
    if awg and all(abs(area - size) > 0.004 * size for size, _ in sizes("class-5")):
        return f"{awg} ({format_number(number, 3)}\u00a0mm²)"
    if not awg_first:
        return f"{number:.4g}\u00a0mm²"
    thicker = next((awg_name(size) for size, _ in sizes("awg") if size > area), "")
    return f"{number:.4g}\u00a0mm² ({f'next up {thicker}' if thicker else 'above 4/0 AWG'})"


def said(area, v):
    """A cross-section as people say it in the region of a form.

    Parameters
    ----------
    area : float
        Cross-section, [m²].
    v : SimpleNamespace
        Values of the form.

    Returns
    -------
    str
        The name.
    """
    return size_name(area, said_in_awg(v))
