"""No answer and no end of its range lies beyond what can be, whatever was typed."""

import pytest
from hypothesis import given

from calc.calculators import CALCULATORS
from tests.calc import typed
from tests.calc.cases import answer, in_every_case
from tests.calc.test_load_list import LOADS

DAY = 86400.0
NEVER_NEGATIVE = {"h", "s", "min", "day", "Ω", "mΩ", "mm²", "Hz", "m", "m³/h", "cm²"}
"""Units of what is nothing at the least."""
STATES = ("state_of_charge", "efficiency", "derating")
"""How names begin whose shares cannot leave 0 to 100 %."""


def ends(output):
    return [(one, value) for one, value in (("low", output.low), ("likely", output.value), ("high", output.high)) if isinstance(value, float)]


def impossible(result):
    """Every number of a Result that cannot be, with where it stands."""
    signed = {one.name for one in CALCULATORS[result.calculator].answers if one.signed}
    days = len(result.input("sun_hours").display.split(",")) if result.calculator == "trip" else None
    if result.calculator == "trip" and result.input("days").value is not None:
        days = result.input("days").value
    for output in result.outputs:
        for end, value in ends(output):
            where = f"{result.calculator}.{output.name} {end}: {value!r}"
            if output.unit in NEVER_NEGATIVE and output.name not in signed and value < 0:
                yield f"{where} is negative"
            if output.name.startswith(STATES) and output.unit == "%" and not -1e-9 <= value <= 1 + 1e-9:
                yield f"{where} is no share"
            if days and (output.name in ("day_lowest", "days_until_empty") or output.name.startswith("hours_")) and value > days * DAY * (1 + 1e-9):
                yield f"{where} lies beyond the trip"
            if 0 < abs(value) < 1e-12:
                yield f"{where} is what rounding left over"
        if output.low is not None and output.high is not None and isinstance(output.value, float) and output.low > output.value + 1e-9 * abs(output.value):
            yield f"{result.calculator}.{output.name} starts above its likely value"


@in_every_case
def test_no_case_passes_what_is_possible(calculator, case):
    assert list(impossible(answer(calculator, case))) == []


@pytest.mark.parametrize("calculator", [*CALCULATORS])
def test_nothing_typed_passes_what_is_possible(calculator):
    texts = LOADS.map(lambda loads: {"loads": loads}) if calculator == "load-list" else typed.valid(calculator)

    @typed.few
    @given(texts)
    def check(texts):
        result = typed.answered(calculator, texts)
        assert result is None or list(impossible(result)) == []

    check()
