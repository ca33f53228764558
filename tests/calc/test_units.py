"""Typed text to SI numbers and back: what people write is read, or explained."""

import math
import re
from importlib import resources

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calc import units
from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.render import words
from calc.units import Reading, UnitProblem, foreign_unit, format_number, format_quantity, from_si, read_number, read_quantity, restate_quantity, to_si
from tests.calc import typed

PINT = pint.UnitRegistry()
DISPLAYED = ["A", "V", "W", "VA", "mΩ", "m", "mm²", "h", "s", "Ah", "Wh", "°C", "%", "day", ""]
"""Every unit a field or an answer has."""


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("120", 120), ("12.5", 12.5), ("12,5", 12.5), (".5", 0.5), (",5", 0.5), ("12.", 12), ("+7", 7), ("-7", -7), ("−7", -7),
        ("1 200", 1200), ("1\u202f200", 1200), ("1\u00a0200,5", 1200.5), ("1'200", 1200), ("1’200.5", 1200.5), ("12 345 678", 12345678),
        ("1,234,567", 1234567), ("1.234.567", 1234567), ("1,200.5", 1200.5), ("1.200,5", 1200.5), ("0,500", 0.5), ("1.200", 1.2),
        ("1e3", 1000), ("1.5e-3", 0.0015), ("  42  ", 42), ("\ufeff42", 42),
    ],
)  # fmt: skip
def test_numbers_are_read_as_people_write_them(text, number):
    assert read_number(text) == pytest.approx(number, rel=1e-15)


@pytest.mark.parametrize("text", ["1,200", "12,345", "-1,200", "120,000"])
def test_a_comma_that_could_be_either_is_refused_with_both_readings(text):
    whole, part = text.lstrip("-").split(",")
    with pytest.raises(UnitProblem) as problem:
        read_number(text)
    assert f"{whole}{part}" in str(problem.value) and f"{whole}.{part}" in str(problem.value)


@pytest.mark.parametrize("text", ["", " ", "abc", "1 2", "1 20 300", "12,34,56", "1.2.3", "--5", "1,2,3", "5-", "0x10", "1_000", "½", "nan", "NaN", "inf", "-inf", "Infinity", "∞", "1e999", "9" * 400])
def test_what_is_no_number_is_refused_with_what_to_enter(text):
    with pytest.raises(UnitProblem, match="enter "):
        read_number(text)


@pytest.mark.parametrize(
    ("text", "unit", "si"),
    [
        ("120", "A", 120), ("120A", "A", 120), ("120 a", "A", 120), ("0.12 kA", "A", 120), ("0,12kA", "A", 120), ("120 amps", "A", 120),
        ("9 mΩ", "mΩ", 0.009), ("9 mohm", "mΩ", 0.009), ("9 milliohms", "mΩ", 0.009), ("9", "mΩ", 0.009), ("0.009 Ω", "mΩ", 0.009), ("900 µΩ", "mΩ", 0.0009), ("900 μΩ", "mΩ", 0.0009),
        ("2.5 m", "m", 2.5), ("250 cm", "m", 2.5), ("2500mm", "m", 2.5), ("2,5 metres", "m", 2.5), ("8 ft", "m", 2.4384), ("8 feet", "m", 2.4384), ("8′", "m", 2.4384), ("96 in", "m", 2.4384),
        ("35", "mm²", 35e-6), ("35 mm2", "mm²", 35e-6), ("35 mm^2", "mm²", 35e-6), ("35 sq mm", "mm²", 35e-6), ("35mm²", "mm²", 35e-6),
        ("1 200 W", "W", 1200), ("1'200W", "W", 1200), ("1.2 kW", "W", 1200), ("1200 watts", "W", 1200), ("1.2KW", "W", 1200),
        ("24 h", "h", 86400), ("24 h/day", "h", 86400), ("90 min", "h", 5400), ("1 day", "h", 86400), ("500 ms", "s", 0.5),
        ("100 Ah", "Ah", 360000), ("100ah", "Ah", 360000), ("3 %", "%", 0.03), ("3 per cent", "%", 0.03), ("3", "%", 0.03),
        ("30", "°C", 30), ("30 °C", "°C", 30), ("30 c", "°C", 30), ("-10 °C", "°C", -10), ("303.15 K", "°C", 30), ("0.8", "", 0.8), ("80 %", "", 0.8),
    ],
)  # fmt: skip
def test_quantities_are_read_with_and_without_their_unit(text, unit, si):
    reading = read_quantity(text, unit)
    assert reading.likely == pytest.approx(si, rel=1e-12) and reading[1:] == (None, None)


def test_feet_typed_with_an_apostrophe_are_feet():
    """An apostrophe also parts thousands; behind the last digit it is a foot."""
    assert read_quantity("8'", "m").likely == pytest.approx(2.4384)
    assert read_quantity("1'200", "m").likely == 1200


@pytest.mark.parametrize(
    ("text", "unit", "low", "likely", "high"),
    [
        ("9 ± 2 mΩ", "mΩ", 0.007, 0.009, 0.011), ("9 mΩ ± 2 mΩ", "mΩ", 0.007, 0.009, 0.011), ("9 ± 2", "mΩ", 0.007, 0.009, 0.011), ("9 +/- 2", "mΩ", 0.007, 0.009, 0.011),
        ("12 V ± 2 %", "V", 11.76, 12, 12.24), ("8 to 12 mΩ", "mΩ", 0.008, 0.010, 0.012), ("8 - 12", "mΩ", 0.008, 0.010, 0.012), ("8–12 mΩ", "mΩ", 0.008, 0.010, 0.012), ("8 mΩ to 12 mΩ", "mΩ", 0.008, 0.010, 0.012),
        ("30 ± 5 °C", "°C", 25, 30, 35), ("-10 to 5 °C", "°C", -10, -2.5, 5), ("89 ± 1 %", "%", 0.88, 0.89, 0.90), ("0.2 to 0.6", "", 0.2, 0.4, 0.6),
    ],
)  # fmt: skip
def test_a_stated_range_is_kept(text, unit, low, likely, high):
    found = read_quantity(text, unit)
    assert (found.low, found.likely, found.high) == pytest.approx((low, likely, high), rel=1e-12)


def test_a_range_of_awg_sizes_runs_from_the_one_to_the_other():
    """The unit said once, at the end, holds for both; a "/0" is part of the size, not of the unit."""
    found = read_quantity("4 to 4/0 AWG", "mm²")
    assert (found.low * 1e6, found.high * 1e6) == pytest.approx((21.15, 107.2), rel=1e-3)


@pytest.mark.parametrize(
    ("text", "unit", "message"),
    [
        ("12 A", "m", 'this needs a length; "12 A" is a current'),
        ("2.5 m", "A", 'this needs a current; "2.5 m" is a length'),
        ("12 V", "W", 'this needs a power; "12 V" is a voltage'),
        ("100 Ah", "Wh", 'this needs an energy; "100 Ah" is a charge'),
        ("5 W", "", 'this needs a plain number; "5 W" is a power'),
        ("35 °C", "mm²", 'this needs a cross-section; "35 °C" is a temperature'),
        ("12 parsecs", "m", '"parsecs" is not a unit known here: enter a length in m'),
        ("lots", "A", '"lots" has no number to start with: enter, for example, 12.5'),
        ("", "A", "enter a current"),
        ("nan", "A", '"nan" is not a quantity: enter a number'),
        ("inf A", "A", '"inf A" is not a quantity: enter a number'),
        ("12 to 8", "mΩ", "a range runs from the smaller to the larger value: swap the two"),
        ("9 ± -2", "mΩ", "a range cannot be negative: enter it as, for example, 9 ± 2"),
        ("50 AWG", "mm²", '"50 AWG" is not an AWG size: enter 40 AWG to 4/0 AWG'),
    ],
)
def test_a_wrong_quantity_is_explained(text, unit, message):
    with pytest.raises(UnitProblem) as problem:
        read_quantity(text, unit)
    assert str(problem.value) == message


@pytest.mark.parametrize("text", ["6 mm", "6mm", "6 mm auto", "0.6 cm"])
def test_a_cable_width_is_no_cross_section(text):
    """Cable sold by its outside diameter: 6 mm of it holds about 4.6 mm² of copper."""
    with pytest.raises(UnitProblem, match=r"diameter.*4\.6 mm².*mm²"):
        read_quantity(text, "mm²")


@pytest.mark.parametrize("text", ["5 nan", "5 ²", "5 inf", "5 if", "5 e", "5 A²", "5 m²²", "5 1/K", "5 %%", "5 π", "5 _", "5 __", "5 A_", "5 \x00", "5 \ud800", "5 delta", "5 dimensionless", "5 A A", "5 ᵐ", "5 Å"])
def test_a_strange_unit_is_refused_like_any_other(text):
    with pytest.raises(UnitProblem):
        read_quantity(text, "A")


@pytest.mark.parametrize("text", ["1e308 kA", "1e308 ± 1e308 A", "1e308 to 1.5e308 A", "1e300 ± 1e12 %"])
def test_a_quantity_too_large_for_a_number_is_refused(text):
    with pytest.raises(UnitProblem, match="too large"):
        read_quantity(text, "A")


@pytest.mark.parametrize(("text", "unit"), [("1e-300 A", "A"), ("1e-320", "h"), ("1e-200 mΩ", "mΩ")])
def test_a_quantity_too_small_to_write_is_refused(text, unit):
    """It would be shown as hundreds of zeros, and it is no quantity of this trade."""
    with pytest.raises(UnitProblem, match="too small"):
        read_quantity(text, unit)


def check_reading(text, unit):
    try:
        found = read_quantity(text, unit)
    except UnitProblem as problem:
        assert str(problem)
        return
    assert math.isfinite(found.likely)
    if found.low is not None:
        assert math.isfinite(found.low) and math.isfinite(found.high) and found.low <= found.likely <= found.high


@typed.many
@given(st.one_of(typed.anything, st.text(max_size=12)), st.sampled_from(DISPLAYED))
def test_any_text_is_read_or_refused(text, unit):
    check_reading(text, unit)


@typed.many
@given(st.text(max_size=6), st.sampled_from(DISPLAYED))
def test_any_unit_is_known_or_refused(text, unit):
    check_reading(f"5 {text}", unit)


@typed.many
@given(typed.anything)
def test_any_text_is_a_number_or_refused(text):
    try:
        assert math.isfinite(read_number(text))
    except UnitProblem as problem:
        assert str(problem)


magnitudes = st.floats(-6, 6).map(lambda power: 10**power)


@typed.many
@given(magnitudes, st.sampled_from([1, -1]), st.sampled_from(DISPLAYED), st.integers(2, 5))
def test_what_is_written_is_read_back(size, sign, unit, figures):
    """Within half of the last figure written."""
    value = to_si(sign * size, unit)
    written = format_quantity(value, unit, figures)
    assert read_quantity(written, unit).likely == pytest.approx(value, rel=0.5 * 10 ** (1 - figures) * (1 + 1e-9))
    assert read_quantity(restate_quantity(value, unit), unit).likely == pytest.approx(value, rel=0.5e-4 * (1 + 1e-9))


@typed.many
@given(magnitudes, st.integers(1, 6))
def test_a_number_is_written_with_its_figures_and_no_exponent(value, figures):
    written = format_number(value, figures)
    assert re.fullmatch(r"\d+(\.\d+)?", written)
    digits = written.replace(".", "").lstrip("0")
    assert len(digits) == figures or (len(digits) > figures and set(digits[figures:]) == {"0"} and "." not in written)
    assert float(written) == pytest.approx(value, rel=0.5 * 10 ** (1 - figures) * (1 + 1e-9))


@pytest.mark.parametrize(
    ("value", "figures", "written"),
    [(1203.4, 3, "1200"), (11.291503, 3, "11.3"), (0.0042, 2, "0.0042"), (9.996, 3, "10.0"), (99.96, 3, "100"), (0, 3, "0"), (-5.25, 2, "−5.2"), (1, 3, "1.00"), (0.99999, 2, "1.0"), (2e-7, 2, "0.00000020")],
)
def test_numbers_are_written_as_people_say_them(value, figures, written):
    assert format_number(value, figures) == written


@pytest.mark.parametrize(
    ("value", "unit", "written"), [(0.00934, "mΩ", "9.34\u00a0mΩ"), (11.7, "V", "11.7\u00a0V"), (0.0312, "%", "3.12\u00a0%"), (3600, "h", "1.00\u00a0h"), (35e-6, "mm²", "35.0\u00a0mm²"), (45.0, "°C", "45.0\u00a0°C"), (0.5, "", "0.500")]
)
def test_a_quantity_carries_its_unit(value, unit, written):
    assert format_quantity(value, unit) == written


def test_what_was_typed_comes_back_without_idle_zeros():
    assert restate_quantity(60.0, "W") == "60\u00a0W"
    assert restate_quantity(0.006, "mΩ") == "6\u00a0mΩ"
    assert restate_quantity(12.55, "V") == "12.55\u00a0V"
    assert restate_quantity(0.03, "%") == "3\u00a0%"


def defined():
    """Unit names and symbols of our short definitions file."""
    text = resources.files("calc").joinpath("units.txt").read_text("utf-8")
    for line in text.splitlines():
        if line and not line.startswith("#") and "- =" not in line:
            name, *rest = (part.strip() for part in line.split(";")[0].split("="))
            yield from (part for part in (name, *rest[1:]) if part not in ("mm2", "sqmm"))  # names of our own for mm²


@pytest.mark.parametrize("name", sorted(set(defined())))
def test_every_definition_is_that_of_pints_own_registry(name):
    ours = units.registry.Quantity(1.0, name).to_base_units()
    theirs = PINT.Quantity(1.0, {"ohms": "ohm", "celsius": "degC", "degreeC": "degC", "square_millimetre": "mm**2"}.get(name, name)).to_base_units()
    assert ours.magnitude == pytest.approx(theirs.magnitude, rel=1e-15)
    assert {str(base): power for base, power in ours.dimensionality.items()} == {str(base): power for base, power in theirs.dimensionality.items()}


@pytest.mark.parametrize(("prefix", "factor"), [("m", 1e-3), ("µ", 1e-6), ("u", 1e-6), ("k", 1e3), ("M", 1e6), ("c", 1e-2)])
def test_prefixes(prefix, factor):
    assert units.registry.Quantity(1.0, f"{prefix}A").to_base_units().magnitude == pytest.approx(factor, rel=1e-15)


@pytest.mark.parametrize("unit", DISPLAYED)
def test_si_and_display_units_undo_each_other(unit):
    assert from_si(to_si(12.5, unit), unit) == pytest.approx(12.5, rel=1e-15)


def test_a_bare_reading_states_no_range():
    assert Reading(1.0) == (1.0, None, None)


@pytest.mark.parametrize(
    ("text", "unit", "foreign"),
    [("4 ft", "m", True), ("4'", "m", True), ("30 °C", "°C", False), ("2.5 m", "m", False), ("250 cm", "m", False), ("4", "m", False), ("1.5 kW", "W", False), ("90 min", "h", False), ("2 AWG", "mm²", False)],
)
def test_feet_for_metres_are_another_measure(text, unit, foreign):
    assert foreign_unit(text, unit) == foreign


def test_what_was_typed_in_feet_is_shown_in_feet():
    result = run(CALCULATORS["dc-cable"], {"rule": "bs-7671-flexible", "length_one_way": "4 ft"})
    assert words.input_likely(result.input("length_one_way")) == "4 ft (1.22\u00a0m)"
    assert "over 1.22\u00a0m one way" in result.answer


def test_an_angle_has_its_sign_at_the_number():
    """A right angle is π/2; what is shown can be typed again."""
    assert units.format_quantity(math.pi / 2, "deg") == "90.0°" and units.restate_quantity(math.pi, "deg") == "180°"
    assert units.format_range(to_si(72, "deg"), math.pi, "deg", 1.0) == "72 to 180°"
    assert read_quantity("90°", "deg").likely == read_quantity("90 deg", "deg").likely == pytest.approx(math.pi / 2)
    assert units.unit_sign("deg") == "°" and units.unit_sign("mΩ") == "mΩ"
