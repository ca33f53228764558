"""The one unit registry, and the way in and out of it.

read_number      "1 200,5"  → 1200.5
read_quantity    "9 ± 2 mΩ" → Reading(0.009, 0.007, 0.011) in SI units
to_si, from_si   convert between a display unit and SI
unit_sign        "deg" → "°", as a unit is written
format_number    1203.4 → "1200"
format_quantity  0.00934, "mΩ" → "9.34 mΩ"
format_range     11.5 to 11.8 V
restate_quantity 60.0, "W" → "60 W", for what was typed

Everything inside calc is a plain float in SI units; pint stands at the door and in
the tests. Temperatures are the exception: they are carried in °C, because every table
and every formula here counts from there.
"""

import math
import re
from functools import lru_cache
from importlib import resources
from typing import NamedTuple

import pint

registry = pint.UnitRegistry(
    resources.files("calc").joinpath("units.txt").read_text("utf-8").splitlines(),
    cache_folder=None,
    autoconvert_offset_to_baseunit=True,
)


class UnitProblem(ValueError):
    """Text that cannot be read as the quantity asked for; the message says what to enter."""


class Reading(NamedTuple):
    """A typed quantity in SI units (temperatures in °C).

    `low` and `high` are None when the text states no range of its own.
    """

    likely: float
    low: float | None = None
    high: float | None = None


# What people write for a unit, beside what the registry itself knows.
_SPELLINGS = {
    "amps": "A", "amperes": "A", "volts": "V", "watts": "W", "kilowatts": "kW",
    "milliohms": "mΩ", "mohm": "mΩ", "mohms": "mΩ", "milliohm": "mΩ", "microohm": "µΩ",
    "metres": "m", "meters": "m", "mtr": "m", "mtrs": "m", "millimetres": "mm",
    "foot": "ft", "feet": "ft", "inches": "inch", "'": "ft", '"': "inch", "″": "inch", "′": "ft",
    "hours": "h", "hrs": "h", "minutes": "min", "mins": "min", "seconds": "s", "secs": "s",
    "days": "day", "sq mm": "mm²", "mm^2": "mm²", "sqmm": "mm²", "square mm": "mm²",
    "mm sq": "mm²", "square millimetres": "mm²", "cm2": "cm**2", "m2": "m**2",
    "m3/h": "m³/h", "m^3/h": "m³/h", "cubic metres an hour": "m³/h", "cfm": "ft³/min",
    "c": "°C", "ºc": "°C", "deg c": "°C", "degrees c": "°C", "celsius": "°C", "degrees": "deg", "°": "deg",
    "amp hours": "Ah", "amp-hours": "Ah", "watt hours": "Wh", "watt-hours": "Wh",
    "a2s": "A²·s", "a²s": "A²·s", "a^2s": "A²·s", "ka2s": "kA²·s", "ka²s": "kA²·s",
    "percent": "%", "per cent": "%", "pc": "%",
    "wh/day": "Wh", "kwh/day": "kWh", "wh a day": "Wh", "kwh a day": "kWh", "wh per day": "Wh", "kwh per day": "kWh",
    "h/day": "h", "hours/day": "h", "hours a day": "h", "h a day": "h", "hours per day": "h",
}

# Units whose letters mean the same in any case: "120a", "12 v", "KW". Prefixes that change
# their meaning with case (mW and MW) never meet here, since no mega-unit is listed.
_IN_ANY_CASE = ["V", "mV", "kV", "A", "mA", "kA", "W", "kW", "VA", "kVA", "Ah", "mAh", "Wh", "kWh",
                "Ω", "mΩ", "m", "mm", "cm", "ft", "h", "min", "s", "Hz", "kg", "mm²", "°C"]

# What a quantity of each dimension is called in an error message.
_KINDS = [
    ("V", "a voltage"), ("A", "a current"), ("W", "a power"), ("Ω", "a resistance"),
    ("m", "a length"), ("mm²", "a cross-section"), ("h", "a time"), ("Ah", "a charge"),
    ("Wh", "an energy"), ("K", "a temperature"), ("Hz", "a frequency"), ("kg", "a mass"),
    ("m³/h", "an airflow"), ("F", "a capacitance"),
]

_SMALLEST = 1e-12  # in SI units: nothing here is measured below it, and its digits would fill a line

_AWG = re.compile(r"^(?:awg\s*)?#?\s*(\d{1,2}(?:\s*/\s*0)?|0{1,4})\s*(?:awg|gauge|ga)?$", re.IGNORECASE)
_NUMBER = re.compile(r"[+\-]?(?:\d(?:[\d.,]|[\s'’](?=\d))*|[.,]\d+)(?:e[+\-]?\d+)?", re.IGNORECASE)
_WHITE = dict.fromkeys(map(ord, "\u00a0\u2007\u2009\u202f\u200b\ufeff"), " ")


def read_number(text):
    """Read a plain number as people write it.

    Spaces and apostrophes between thousands, a decimal comma and a leading sign are
    understood. One comma before exactly three digits could be either a decimal comma or
    a thousands separator, so it is refused with both readings.

    Parameters
    ----------
    text : str
        The typed text.

    Returns
    -------
    float
        The number.

    Raises
    ------
    UnitProblem
        When the text is not one finite number.
    """
    plain = _plain(text)
    if not plain:
        raise UnitProblem("enter a number")
    if re.fullmatch(r"[+\-]?(nan|inf|infinity|∞)", plain, re.IGNORECASE):
        raise UnitProblem(f'"{_short(text)}" is not a quantity: enter a number')
    mantissa, exponent = re.fullmatch(r"(.*?)(e[+\-]?\d+)?", plain, re.IGNORECASE | re.DOTALL).groups()
    digits = re.sub(r"(?<=\d)[\s'’](?=\d{3}(?!\d))", "", mantissa)
    if re.fullmatch(r"[+\-]?[1-9]\d{0,2},\d{3}", digits):
        whole, part = digits.split(",")
        raise UnitProblem(
            f'"{_short(text)}" can be read as {whole}{part} or as {whole}.{part}: '
            "write it without the comma, or with a point for the decimals"
        )
    if re.fullmatch(r"[+\-]?\d{1,3}(,\d{3}){2,}(\.\d+)?|[+\-]?\d{1,3}(,\d{3})+\.\d+", digits):
        digits = digits.replace(",", "")
    elif re.fullmatch(r"[+\-]?\d{1,3}(\.\d{3}){2,}(,\d+)?|[+\-]?\d{1,3}(\.\d{3})+,\d+", digits):
        digits = digits.replace(".", "").replace(",", ".")
    elif digits.count(",") == 1 and "." not in digits:
        digits = digits.replace(",", ".")
    if not re.fullmatch(r"[+\-]?(\d+\.?\d*|\.\d+)", digits):
        raise UnitProblem(f'"{_short(text)}" is not a number: enter digits, for example 12.5')
    value = float(digits + (exponent or ""))
    if not math.isfinite(value):
        raise UnitProblem(f'"{_short(text)}" is too large to be a quantity: enter a smaller number')
    return value


@lru_cache(maxsize=1024)
def read_quantity(text, unit):
    """Read a typed quantity, with or without a unit, with or without a stated range.

    `120`, `120A`, `0.12 kA`, `2,5 m`, `35 mm2`, `2 AWG`, `9 ± 2 mΩ`, `12 V ± 2 %`
    and `8 to 12 mΩ` are all understood.

    Parameters
    ----------
    text : str
        The typed text.
    unit : str
        Unit of a bare number, and the dimension wanted.

    Returns
    -------
    Reading
        In SI units, temperatures in °C.

    Raises
    ------
    UnitProblem
        With what is wrong and what to enter.
    """
    reading = _read(_plain(text), unit)
    if not all(math.isfinite(end) for end in reading if end is not None):
        raise UnitProblem(f'"{_short(text)}" is too large to be a quantity: enter a smaller number')
    if any(end is not None and 0 < abs(end) < _SMALLEST for end in reading):
        raise UnitProblem(f'"{_short(text)}" is too small to be a quantity: enter 0 or a larger number')
    return reading


def _read(plain, unit):
    if not plain:
        raise UnitProblem(f"enter {_kind_of(unit)}")
    if unit == "mm²" and (area := _read_awg(plain)) is not None:
        return Reading(area)
    stated = re.fullmatch(r"(?P<centre>.+?)\s*(?:±|\+/-|\+-)\s*(?P<spread>.+)", plain)
    if stated:
        return _read_spread(stated["centre"], stated["spread"], unit)
    between = re.fullmatch(r"(?P<low>.*\d.*?)\s+(?:to|bis|–|—|-)\s+(?P<high>\d.*)", plain) or re.fullmatch(
        r"(?P<low>\d[\d.,]*)\s*[-–—]\s*(?P<high>\d.*)", plain
    )
    if between:
        return _read_between(between["low"], between["high"], unit)
    return Reading(_read_single(plain, unit))


def _read_spread(centre, spread, unit):
    spread_number, spread_unit = _split(spread)
    if not _split(centre)[1] and spread_unit not in ("", "%"):
        centre = f"{centre} {spread_unit}"
    likely = _read_single(centre, unit)
    if spread_unit == "%" and unit != "%":
        delta = abs(likely) * spread_number / 100
    elif not spread_unit:
        delta = _read_single(f"{spread_number!r} {_split(centre)[1]}", unit, difference=True)
    else:
        delta = _read_single(spread, unit, difference=True)
    if delta < 0:
        raise UnitProblem("a range cannot be negative: enter it as, for example, 9 ± 2")
    return Reading(likely, likely - delta, likely + delta)


def _read_between(low_text, high_text, unit):
    if unit == "mm²" and (end := _read_awg(high_text)) is not None:
        start = _read_awg(low_text)  # the unit said once holds for both sizes, and thick AWG has the small number
        low, high = sorted((_read_awg(f"{low_text} AWG") if start is None else start, end))
        return Reading((low + high) / 2, low, high)
    if not _split(low_text)[1]:
        low_text = f"{low_text} {_split(high_text)[1]}"
    low, high = _read_single(low_text, unit), _read_single(high_text, unit)
    if low > high:
        raise UnitProblem("a range runs from the smaller to the larger value: swap the two")
    return Reading((low + high) / 2, low, high)


def _read_single(text, unit, difference=False):
    """One number with an optional unit, in SI (a difference of temperatures is not offset)."""
    if unit == "mm²" and (area := _read_awg(text)) is not None:
        return area
    number, typed = _split(text)
    typed = typed or unit
    if not typed:
        return number
    found = _find_unit("mm" if unit == "mm²" and re.fullmatch(r"mm (auto|automotive)", typed, re.IGNORECASE) else typed)
    if found is None:
        raise UnitProblem(f'"{_short(typed)}" is not a unit known here: enter {_kind_of(unit)}{" in " + unit_sign(unit) if unit else ""}')
    if unit == "W" and typed.lower().replace("-", "").replace(" ", "").endswith(("va", "voltamps", "voltamperes")):
        raise UnitProblem(f'this needs real power in W; "{_short(text)}" is apparent power: multiply it by the power factor')
    if registry.get_dimensionality(found) != registry.get_dimensionality(_unit(unit)):
        raise UnitProblem(_wrong_kind(text, found, unit))
    if not unit and typed == "%":
        return number / 100
    if unit == "°C":
        return number if difference or found == _unit("°C") else float(registry.Quantity(number, found).m_as("°C"))
    return number * _factor(found)


def _wrong_kind(text, found, unit):
    if unit == "mm²" and registry.get_dimensionality(found) == registry.get_dimensionality(_unit("m")):
        return (
            f'"{_short(text)}" is a width. Some cable is sold by its outside diameter, and a 6 mm one '
            "holds about 4.6 mm² of copper: enter the copper cross-section in mm², or an AWG size"
        )
    return f'this needs {_kind_of(unit)}; "{_short(text)}" is {_kind_of(found)}'


def _split(text):
    """Split "2.5 m" into (2.5, "m")."""
    plain = _plain(text)
    match = _NUMBER.match(plain)
    if not match or not re.search(r"\d", match[0]):
        if re.fullmatch(r"[+\-]?(nan|inf|infinity|∞).*", plain, re.IGNORECASE):
            raise UnitProblem(f'"{_short(text)}" is not a quantity: enter a number')
        raise UnitProblem(f'"{_short(text)}" has no number to start with: enter, for example, 12.5')
    number = match[0].rstrip(" .,'’")
    return read_number(number), plain[match.end() :].strip() or ""


def _read_awg(text):
    """Area in m² of "2 AWG", "AWG 2", "2/0"; None when the text is no AWG size."""
    match = _AWG.match(text)
    if not match or not re.search(r"awg|gauge|ga|/|^#|^00+$", text, re.IGNORECASE):
        return None
    size = re.sub(r"\s", "", match[1])
    if set(size) == {"0"}:
        size = f"{len(size)}/0"
    number = 1 - int(size.split("/")[0]) if "/" in size else int(size)
    if not -3 <= number <= 40:
        raise UnitProblem(f'"{_short(text)}" is not an AWG size: enter 40 AWG to 4/0 AWG')
    return awg_area(number)


def awg_area(number):
    """Cross-section of an AWG size: π/4·(0.127 mm × 92^((36−n)/39))².

    Parameters
    ----------
    number : int
        AWG number; 1/0 is 0, 2/0 is −1, 3/0 is −2 and 4/0 is −3.

    Returns
    -------
    float
        Cross-section, [m²]. Source: ASTM B258.
    """
    return math.pi / 4 * (0.127e-3 * 92 ** ((36 - number) / 39)) ** 2


@lru_cache(maxsize=256)
def _find_unit(typed):
    """The registry unit a person meant, or None."""
    lower = typed.lower()
    in_other_case = [name for name in _IN_ANY_CASE if name.lower() == lower]
    for candidate in (_SPELLINGS.get(lower), typed, *in_other_case):
        try:
            if candidate and re.fullmatch(r"[^\W\d]\w*(\*\*2)?([/·][^\W\d]\w*)*|%|°C", candidate):
                return _unit(candidate)
        except (pint.errors.UndefinedUnitError, ValueError):  # ValueError: "nan" is a number to pint
            pass
    return None


@lru_cache(maxsize=256)
def _unit(text):
    return registry.parse_units(text)


@lru_cache(maxsize=256)
def _factor(unit):
    """Multiplier from a unit to its SI base."""
    return float(registry.Quantity(1.0, unit).to_base_units().magnitude)


def _kind_of(unit):
    found = _unit(unit) if isinstance(unit, str) else unit
    if found == _unit("%"):
        return "a percentage"
    for name, kind in _KINDS:
        if registry.get_dimensionality(_unit(name)) == registry.get_dimensionality(found):
            return kind
    return "a plain number" if found.dimensionless else "another kind of quantity"


def to_si(value, unit):
    """Convert a number in a display unit to SI (°C stays °C).

    Parameters
    ----------
    value : float
        Number in `unit`.
    unit : str
        Display unit, "" for none.

    Returns
    -------
    float
        The same quantity in SI units.
    """
    return value if unit in ("", "°C") else value * _factor(_unit(unit))


def from_si(value, unit):
    """Convert an SI number to a display unit (°C stays °C).

    Parameters
    ----------
    value : float
        Number in SI units.
    unit : str
        Display unit, "" for none.

    Returns
    -------
    float
        The same quantity in `unit`.
    """
    return value if unit in ("", "°C") else value / _factor(_unit(unit))


def unit_sign(unit):
    """A unit as people write it: the one for angles has a sign of its own.

    Parameters
    ----------
    unit : str
        Display unit, "" for none.

    Returns
    -------
    str
        The same, or "°".
    """
    return "°" if unit == "deg" else unit


def _beside(number, unit):
    """A number with its unit: a no-break space between them, none before the sign of an angle."""
    if not unit:
        return number
    return number + unit_sign(unit) if unit == "deg" else f"{number}\u00a0{unit}"


def format_number(value, figures=3):
    """Write a number with a given count of significant figures and no exponent.

    Parameters
    ----------
    value : float
        The number.
    figures : int
        Significant figures.

    Returns
    -------
    str
        For example "1200", "11.3", "0.0042"; a true minus sign for negatives.
    """
    if value == 0:
        return "0"
    places = figures - 1 - math.floor(math.log10(abs(value)))
    rounded = round(value, places)
    if rounded != 0:  # rounding can carry into a new digit: 9.996 → 10.0
        places = figures - 1 - math.floor(math.log10(abs(rounded)))
    return f"{rounded:.{max(places, 0)}f}".replace("-", "−")


def format_quantity(value, unit, figures=3):
    """Write an SI number in a display unit, for example "9.34 mΩ".

    Parameters
    ----------
    value : float
        Number in SI units (°C for temperatures).
    unit : str
        Display unit, "" for none.
    figures : int
        Significant figures.

    Returns
    -------
    str
        Number, no-break space, unit.
    """
    return _beside(format_number(from_si(value, unit), figures), unit)


def format_range(low, high, unit, quantum):
    """Write a range of SI numbers, both ends rounded to one place: "11.5 to 11.8 V".

    Parameters
    ----------
    low, high : float or None
        Ends in SI units (°C for temperatures); None for an end there is no number for.
    unit : str
        Display unit, "" for none.
    quantum : float
        Place to round to, in the display unit, a power of ten.

    Returns
    -------
    str
        The range, its unit once.
    """
    places = max(-math.floor(math.log10(quantum) + 1e-9), 0)
    ends = [
        "none" if end is None else f"{round(from_si(end, unit) / quantum) * quantum:.{places}f}".replace("-", "−")
        for end in (low, high)
    ]
    while places and all(end.endswith("0") for end in ends):  # "18.0 to 22.0" is "18 to 22"
        places -= 1
        ends = [end[:-1].rstrip(".") for end in ends]
    return f"{ends[0]} to {_beside(ends[1], unit)}"


def restate_quantity(value, unit):
    """Write an SI number as a person typed it: up to five figures, no trailing zeros.

    Parameters
    ----------
    value : float
        Number in SI units (°C for temperatures).
    unit : str
        Display unit, "" for none.

    Returns
    -------
    str
        Number, no-break space, unit.
    """
    number = format_number(from_si(value, unit), 5)
    if "." in number:
        number = number.rstrip("0").rstrip(".")
    return _beside(number, unit)


def foreign_unit(text, unit):
    """Whether a typed quantity has a unit of another kind of measure: feet for metres.

    Parameters
    ----------
    text : str
        The typed text.
    unit : str
        Unit of the field.

    Returns
    -------
    bool
        False for a bare number, for the same unit with another prefix, and for AWG.
    """
    try:
        typed = re.search(r"[^\W\d][\w\s]*$|[\u0027\"′″]$", _plain(text))
        found = typed and _find_unit(typed[0].strip())
    except UnitProblem:
        found = None
    if found is None or not unit or unit == "mm²" or registry.get_dimensionality(found) != registry.get_dimensionality(_unit(unit)):
        return False
    if unit == "°C":
        return False
    steps = math.log10(_factor(found) / _factor(_unit(unit)))
    return found not in map(_unit, ("h", "min", "s", "day")) and abs(steps - round(steps)) > 1e-9


def printable(text):
    """Text that every output can encode: half characters, as broken input brings them, become "?".

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        The same without lone surrogates.
    """
    return text.encode("utf-8", "replace").decode("utf-8")


def capitalised(text):
    """Text as a sentence begins: its first letter a capital, all others as they are.

    Parameters
    ----------
    text : str
        Any text.

    Returns
    -------
    str
        The same with its first letter a capital.
    """
    return text[:1].upper() + text[1:]


def _plain(text):
    """Fold the spaces, minus signs and superscripts that keyboards and copied text bring."""
    text = printable(str(text)).translate(_WHITE).replace("−", "-").replace("–-", "-").replace("μ", "µ").replace("Ω", "Ω")
    return re.sub(r"\s+", " ", text).strip()


def _short(text):
    """Typed text as an error message repeats it: whole words, bounded."""
    text = _plain(text)
    return text if len(text) <= 40 else text[:37] + "…"
