"""Every formula, fed quantities of the units in its docstring, gives the unit it promises.

The quantities come from pint's own registry. Temperatures in °C go in as kelvin: every
formula here counts differences. What pint cannot see, DC from AC or one way from there
and back, the names have to say.
"""

import pint
import pytest

from calc.physics import inverter
from tests.calc import docstrings
from tests.calc.docstrings import PHYSICS

UNITS = pint.UnitRegistry()

# Values that suit every formula at once, in the docstring's units; anything else is 2.
SAMPLES = {
    "voltage_open_circuit": 12.6, "voltage_limit": 10.5, "voltage_dc": 12.5, "resistance": 0.005, "current_dc": 90.0, "current_rms": 95.0,
    "power_ac": 1000.0, "power_dc": 1100.0, "power_factor": 0.8, "rating": 2000.0, "standby_power": 20.0, "loss_proportional": 1.05,
    "loss_quadratic": 0.06, "efficiency_full": 0.89, "efficiency_peak": 0.91, "ripple": 0.5, "ripple_sensed": 0.5, "wake_fraction": 0.25,
    "search_power": 3.0, "ambient": 35.0, "rise_allowed": 40.0, "rise_at_rating": 60.0, "current_rating": 200.0, "voltage": 12.2,
    "rest_voltages": [11.9, 12.06, 12.24, 12.65], "states_of_charge": [0.0, 0.25, 0.5, 1.0], "loads": [200.0, 1000.0, 2000.0],
    "loss_per_kelvin": 0.01, "loss_per_metre": 0.0001,
    "gain_error": 0.02, "error": 0.06, "efficiencies": [0.8, 0.9, 0.89], "weights": inverter.EURO_WEIGHTS,
    "harmonics": [(3, 0.2), (5, 0.1)],
    "capacity": 360000.0, "rate_time": 72000.0, "peukert": 1.2, "state_of_charge": 0.4, "state_start": 0.9, "state_end": 0.3, "temperature": 10.0,
    "temperatures": [0.0, 12.0, 25.0], "factors": [1.4, 1.2, 1.0], "resistances": [0.003, 0.004, 0.005], "voltages": [12.7, 12.6, 12.8], "links": [0.0003, 0.0004],
    "sources": [0.0, 300.0, 40.0, 0.0], "draws": [200.0, 100.0, 900.0, 900.0], "draws_must": [20.0, 20.0, 500.0, 500.0], "draws_off": [30.0, 30.0, 300.0, 300.0],
    "draws_off_must": [10.0, 10.0, 120.0, 120.0], "needs": [180.0, 90.0, 800.0, 800.0], "needs_must": [15.0, 15.0, 450.0, 450.0], "stored_start": 2.2e6,
    "stored_full": 2.5e6, "stored_floor": 2.0e6, "cut_out": 12.35, "current_limit": 100.0, "charge_limit": 15.0, "efficiency": 0.9, "taper_share": 0.5, "step": 900.0,
    "day_of_year": 100.0, "latitude": -0.6, "declination": 0.1, "day": 86400.0, "sunrise": 21600.0, "sunset": 64800.0, "start": 30000.0, "end": 40000.0,
    "energy_missing": 2.0e6, "energy_left": 0.5e6, "energy_full": 4.0e6, "voltage_alternator": 14.2, "resistance_path": 0.004, "current_max": 100.0,
    "time_constant": 3600.0, "power_stored": 300.0, "above_rated": 15.0, "coefficient": -0.004,
}  # fmt: skip

by_name = pytest.mark.parametrize("formula", PHYSICS.values(), ids=PHYSICS)


def unit_of(entry):
    """A docstring's unit in pint: °C counts as kelvin, [-] as a plain number."""
    return UNITS.Unit({"-": "", "°C": "kelvin"}.get(entry.unit, entry.unit))


def quantity(value, unit):
    """A value, a list of values or pairs of values with a unit."""
    if isinstance(value, (list, tuple)):
        return [quantity(one, unit) for one in value]
    return UNITS.Quantity(value, unit)


def arguments(formula):
    """Quantities for every parameter, by name."""
    return {entry.name: quantity(SAMPLES.get(entry.name, 2.0), unit_of(entry)) for entry in docstrings.read(formula).entries("Parameters")}


def keeps_its_promise(formula, given):
    """Whether every value that comes back has the dimension the docstring promises."""
    promised = docstrings.read(formula).entries("Returns")
    try:
        found = formula(**given)
    except pint.DimensionalityError:
        return False
    except ValueError as error:
        if "Cannot compare" in str(error):  # a quantity against a plain number
            return False
        raise
    found = found if isinstance(found, tuple) else (found,)
    if len(found) != len(promised):
        return False
    return all(UNITS.Quantity(one).is_compatible_with(unit_of(entry)) for value, entry in zip(found, promised, strict=True) for one in each(value))


def each(value):
    """The items of a list, or the one value."""
    return value if isinstance(value, list) else [value]


@by_name
def test_the_answer_has_the_dimension_it_promises(formula):
    assert keeps_its_promise(formula, arguments(formula))


@by_name
def test_quantities_and_plain_numbers_give_the_same(formula):
    """The quantities are in the docstring's units; those are SI, so plain numbers are the same values."""
    given = arguments(formula)
    plain = {name: SAMPLES.get(name, 2.0) for name in given}
    found, expected = formula(**given), formula(**plain)
    for value, number in zip(found if isinstance(found, tuple) else [found], expected if isinstance(expected, tuple) else [expected], strict=True):
        assert [UNITS.Quantity(one).to_base_units().magnitude for one in each(value)] == pytest.approx(each(number), rel=1e-12)


@by_name
def test_every_wrong_dimension_is_noticed(formula):
    """One parameter at a time is a metre too much: none may slip through."""
    given = arguments(formula)
    slipped = []
    for entry in docstrings.read(formula).entries("Parameters"):
        wrong = quantity(SAMPLES.get(entry.name, 2.0), unit_of(entry) * UNITS.metre)
        if keeps_its_promise(formula, {**given, entry.name: wrong}):
            slipped.append(entry.name)
    assert slipped == []


def _drop_with_the_current_forgotten(current_dc, resistance):
    return resistance


def _loss_without_the_square(current_rms, resistance):
    return current_rms * resistance


def _sum_of_unlike_terms(power_ac, power_factor, rating, standby_power, loss_proportional, loss_quadratic):
    return standby_power + loss_proportional * power_ac + loss_quadratic * power_ac**2


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        (_drop_with_the_current_forgotten, "conductor.voltage_drop"),
        (_loss_without_the_square, "conductor.heat"),
        (_sum_of_unlike_terms, "inverter.power_dc"),
    ],
)
def test_a_wrong_formula_is_caught(wrong, right):
    """The right formula's docstring over a wrong body."""
    given = arguments(PHYSICS[right])
    wrong.__doc__ = PHYSICS[right].__doc__
    assert not keeps_its_promise(wrong, given)
