"""The keys are right: by the calculators, by formulas written here, and line by line as displayed."""

import math

import pytest

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.exercises import marking
from calc.exercises.catalogue import TEMPLATES
from calc.exercises.draws import Redraw
from calc.exercises.items import Choice, Mistake, Number, Option
from calc.exercises.templates import LEVELS, exercise, fair
from calc.exercises.topics.common import power_ac
from calc.exercises.topics.cut_out_margin import largest
from calc.physics import charging, circuit, fault, inverter
from calc.units import read_quantity
from tests.calc.displayed import check

SEEDS = 20
EVERY = [(id, level) for id in TEMPLATES for level in LEVELS]


def made(id, level, seeds=SEEDS):
    topic, template = TEMPLATES[id]
    return [exercise(topic, template, f"answers {seed}", level, 3) for seed in range(seeds)]


@pytest.mark.parametrize("id", TEMPLATES)
def test_every_line_of_working_works_out_and_ends_in_the_answer(id):
    for level in LEVELS:
        for one in made(id, level, 8):
            for step in one.item.working:
                check(step)
            if isinstance(one.item, Number):
                assert any(math.isclose(step.value, one.item.value, rel_tol=1e-9) for step in one.item.working), f"level {level}, {one.seed}"


CHECKED = [id for id in TEMPLATES if any(one.item.check for level in LEVELS for one in made(id, level, 1))]


@pytest.mark.parametrize("id", CHECKED)
def test_the_calculators_give_the_same(id):
    for one in [one for level in LEVELS for one in made(id, level) if one.item.check][:SEEDS]:
        asked = one.item.check
        found = run(CALCULATORS[asked.calculator], asked.typed).output(asked.output).value
        value = one.item.value if isinstance(one.item, Number) else next(option.value for option in one.item.options if option.right)
        assert found == pytest.approx(value, rel=2e-4), f"level {one.level}, {one.seed}: {asked.typed}"


def test_most_topics_are_checked_against_a_calculator():
    assert {TEMPLATES[id][0] for id in CHECKED} >= {"words-and-units", "load-list", "energy-and-standby", "batteries", "cut-out-margin", "waveform", "fuse", "recharge", "diagnosis"}


def given(one, label):
    """What is given under a label, in SI units, read from the words the trainee sees."""
    words = next(fact.words for fact in one.item.facts if fact.label.startswith(label))
    unit = words.split("\u00a0")[1] if "\u00a0" in words else ""
    return read_quantity(words, unit).likely


# Each from the facts as printed, by a formula written here once more.
BY_HAND = {
    ("standby-charge", 2): lambda f: f("Standby power") * f("Left on") / f("Battery voltage"),
    ("standby-days", 3): lambda f: 86400 * f("Share of it that may be used") * f("Battery") * f("Battery voltage") / (f("Standby power") * f("Left on each day")),
    ("search-mode", 1): lambda f: f("Power awake") * f("Awake for") + f("Power while searching") * (1 - f("Awake for")),
    ("volt-amps", 1): lambda f: f("Real power") / f("Power factor"),
    ("label-trap", 1): lambda f: f("On the label") / f("Cooking power over input"),
    ("days-of-capacity", 3): lambda f: f("Energy a day") * f("Days") / (f("Nominal voltage") * f("Share of the battery")) * f("Factor for age") * f("Factor for cold"),
    ("at-this-rate", 1): lambda f: f("Rated time H") * (f("Capacity C") / (f("Current I") * f("Rated time H"))) ** f("Exponent k"),
    ("loop-resistance", 2): lambda f: 2 * f("Length one way") * f("Resistance of a metre") * (1 + 0.00393 * 30),
    ("path-resistance", 2): lambda f: (f("At the battery's posts") - f("At the inverter's terminals")) * f("Current"),
    ("ripple-current", 1): lambda f: math.hypot(f("Current by the clamp"), f("Current by the clamp") * f("Ripple r") / math.sqrt(2)),
    ("largest-power", 1): lambda f: f("Cut-out V_co") * (f("Battery without load") - f("Cut-out V_co")) / f("Resistance R"),
    ("margin", 1): lambda f: f("Battery without load") - f("Current while all runs") * f("Resistance of battery") - f("Cut-out"),
    ("stop-voltage", 2): lambda f: f("Half full, at rest") - f("Current") * f("Resistance of the battery"),
    ("averaging-meter", 1): lambda f: 1.1107207 * f("On for this share") * f("Peak V_p"),
    ("true-rms", 1): lambda f: math.sqrt(f("Peak V_p") ** 2 * f("On for this share")),
    ("worst-current", 2): lambda f: f("Power into the inverter") / f("Cut-out") * math.sqrt(1 + f("Ripple r") ** 2 / 2),
    ("short-circuit", 2): lambda f: f("Battery voltage") / (f("Resistance of one battery") + f("Cable from the battery")),
    ("generator-hours", 2): lambda f: f("To put back") / (f("Charger's output") * f("Voltage while it charges") * f("Battery, energy out")),
    ("generator-size", 2): lambda f: f("Charger's output") * f("Voltage while it charges") / (f("Charger's efficiency") * f("Its power factor")),
    ("panel-watts", 2): lambda f: f("Energy a day") / (f("Peak-sun hours a day") * f("Yield k")),
    ("own-charger", 2): lambda f: f("Charger's output") * f("Voltage at its output") * (1 / (f("Charger's efficiency") * f("Inverter's efficiency")) - 1),
    ("standby-by-clamp", 2): lambda f: f("Clamp shows") / f("Turns") * f("Battery voltage"),
}  # fmt: skip


@pytest.mark.parametrize(("id", "level"), BY_HAND)
def test_by_a_formula_written_here(id, level):
    for one in made(id, level, 10):
        assert BY_HAND[id, level](lambda label: given(one, label)) == pytest.approx(one.item.value, rel=1e-3), one.seed


def test_the_worked_figures_of_the_curriculum():
    """Its examples, by the functions that the templates go by; figures as it rounds them."""
    losses = (1.05, 0.06)
    microwave = inverter.power_dc(1130.0, 1.0, 1500.0, 15.0, *losses)
    assert (round(microwave), round(microwave / 12.4)) == (1253, 101)
    path = (12.05 - 11.68) / 98
    battery = (12.62 - 12.05) / (98 - 3)
    assert (round(battery * 1e3, 1), round(path * 1e3, 1), round(98**2 * path)) == (6.0, 3.8, 36)
    most = largest(12.638, 11.0, battery + path)
    assert (round(most), round(power_ac(most, 2000.0, 20.0))) == (1843, 1658)
    assert round(largest(12.638, 11.0, battery + 1.5e-3)) == 2402
    assert round(power_ac(100 * 12.6, 2000.0, 20.0), -1) == 1140
    assert [round(each) for each in (3360 / 10.5, circuit.current_rms(3360 / 10.5, 0.8))] == [320, 368]
    assert round(charging.apparent_power(charging.supply_power(40.0, 14.2, 0.87), 0.6)) == 1088
    assert round(fault.rating_for_current(50.0, 2.0, 230.0)) == 5750


def test_what_is_unfair_is_drawn_anew():
    item = Number(question="?", value=10.0, unit="V", mistakes=(), hints=("",))
    with pytest.raises(Redraw):
        fair(item)
    near, far = Mistake(10.3, "near"), Mistake(12.0, "far")
    kept = fair(Number(question="?", value=10.0, unit="V", mistakes=(near, far)))
    assert kept.mistakes == (far,)
    for value in (0.0, -1.0, math.nan, math.inf):
        with pytest.raises(Redraw):
            fair(Number(question="?", value=value, unit="V", mistakes=(far,)))
    for options in ((Option("a", "", True), Option("a", "no")), (Option("a", "", True), Option("b", "", True)), (Option("a", "no"), Option("b", "no"))):
        with pytest.raises(Redraw):
            fair(Choice(question="?", options=options))


def test_a_tampered_key_is_not_marked_right():
    (one,) = made("standby-charge", 1, 1)
    assert marking.mark(one, f"{one.item.value / 3600 * 0.96:.4f} Ah").verdict == marking.NEARLY
    assert marking.mark(one, f"{one.item.value / 3600 * 1.3:.4f} Ah").verdict == marking.WRONG
