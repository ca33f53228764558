"""The charts to read off: within 3 % of the calculators wherever a ruler is laid, by a grid that allows it."""

import itertools
import re
from pathlib import Path

import pytest

from calc.calculators import CALCULATORS
from calc.calculators.calculator import run
from calc.units import from_si
from scripts.drawings import load, names, ruled
from tests.site.chapters import source

CHARTS = [name for name in names() if isinstance(load(name).picture, ruled.Chart)]
CABLE = {"chart-cable-12": 12, "chart-cable-24": 24, "chart-cable-48": 48}
NEAR = 0.03
# Printed 110 mm wide: millimetres of one unit of the drawing, and how well a pencil hits a place.
MILLIMETRES, PENCIL = 110 / ruled.WIDTH, 0.5


def answered(id, output, unit, **typed):
    calculator = CALCULATORS[id]
    value = run(calculator, {**calculator.shown(), **typed}).output(output).value
    return None if value is None else from_si(value, unit)


def cable(voltage, **typed):
    return {"voltage_nominal": f"{voltage} V", "rule": "bs-7671-clipped", **typed}


def on_a_cable_chart(voltage, line, x):
    return answered("dc-cable", "length_one_way_max", "m", **cable(voltage, area=f"{line} mm²", current_dc=f"{x} A"))


# What the calculator answers where a line is read; the whole resistance may stand in any of its three parts.
TRUTH = {
    "chart-cable-12": lambda line, x: on_a_cable_chart(12, line, x),
    "chart-cable-24": lambda line, x: on_a_cable_chart(24, line, x),
    "chart-cable-48": lambda line, x: on_a_cable_chart(48, line, x),
    "chart-volts": lambda line, x: answered("supply-path", "voltage_inverter", "V", power_ac=f"{x} W", battery_resistance=f"{float(line.split()[0]) - 3} mΩ", cable_resistance="2 mΩ", joint_resistance="1 mΩ"),
    "chart-hours-lithium": lambda line, x: answered("runtime", "runtime", "h", chemistry="lithium-iron-phosphate", capacity=line, power_ac=f"{x} W"),
    "chart-hours-lead": lambda line, x: answered("runtime", "runtime", "h", chemistry="agm", capacity=line, power_ac=f"{x} W"),
    "chart-standby": lambda line, x: answered("standby", "charge_per_day", "Ah", standby_power=f"{x} W", voltage_dc=f"{12.8 * int(line.split()[0]) / 12} V"),
    "chart-stop": lambda line, x: answered("charge-state", "stop_voltage", "V", chemistry="lead-acid", depth_limit="50 %", voltage="10.5 V", battery_resistance=line, current=f"{x} A"),
}


def between(scale, low, high, part):
    """A place on an axis between two others, as drawn."""
    return scale.value(scale.share(low) + part * (scale.share(high) - scale.share(low)))


def places(chart, series):
    """Places along a line, between its points."""
    for (low, _), (high, _) in itertools.pairwise(series.points):
        for part in (0.4, 0.7):
            yield between(chart.x, low, high, part)


def test_every_chart_is_asked_about():
    assert set(CHARTS) == set(TRUTH) and len(CHARTS) == 8


@pytest.mark.parametrize("name", CHARTS)
def test_a_ruler_reads_what_the_calculator_answers(name):
    chart = load(name).picture
    off = {}
    for series in chart.series:
        for x in places(chart, series):
            off[series.name, x] = ruled.read(chart, series.name, x) / TRUTH[name](series.name, x) - 1
    assert len(off) >= 2 * len(chart.series)
    assert {place: error for place, error in off.items() if abs(error) > NEAR} == {}


@pytest.mark.parametrize("name", ["chart-volts", "chart-stop"])
def test_volts_are_read_to_a_fiftieth_of_a_volt(name):
    """Of a voltage only the few volts above the cut-out matter: 3 % of all of it would say nothing."""
    chart = load(name).picture
    off = {(series.name, x): ruled.read(chart, series.name, x) - TRUTH[name](series.name, x) for series in chart.series for x in places(chart, series)}
    assert {place: error for place, error in off.items() if abs(error) > 0.02} == {}
    assert chart.y.value(PENCIL / MILLIMETRES / ruled.PLOT_HEIGHT) - chart.y.low < 0.02


@pytest.mark.parametrize("name", CHARTS)
def test_half_a_millimetre_is_less_than_three_per_cent(name):
    """Upward, where the value is read, and across, where the pencil starts."""
    chart = load(name).picture
    up, across = PENCIL / MILLIMETRES / ruled.PLOT_HEIGHT, PENCIL / MILLIMETRES / ruled.PLOT_WIDTH
    for series in chart.series:
        for x in places(chart, series):
            y = ruled.read(chart, series.name, x)
            assert abs(chart.y.value(chart.y.share(y) + up) / y - 1) < NEAR, (series.name, x)
            beside = ruled.read(chart, series.name, chart.x.value(chart.x.share(x) + across))
            assert beside is None or abs(beside / y - 1) < NEAR, (series.name, x)


@pytest.mark.parametrize("name", CHARTS)
def test_the_grid_is_as_fine_as_the_eye_needs(name):
    """Lines far enough apart to be told apart, at even steps between round numbers, and so near that half a millimetre is no less than a tenth of the way between two."""
    chart = load(name).picture
    for scale, length, (numbered, unnumbered, thin) in ((chart.x, ruled.PLOT_WIDTH, ruled.across(chart)), (chart.y, ruled.PLOT_HEIGHT, ruled.up(chart))):
        shares = sorted(map(scale.share, {scale.low, scale.high, *numbered, *unnumbered, *thin}))
        gaps = [(b - a) * length * MILLIMETRES for a, b in itertools.pairwise(shares)]
        assert max(gaps) <= 10 * PENCIL, (scale.label, max(gaps))
        for low, high in itertools.pairwise(sorted([*numbered, *unnumbered])):
            steps = [b - a for a, b in itertools.pairwise([low, *(value for value in thin if low < value < high), high])]
            assert max(steps) - min(steps) < 1e-6, (scale.label, low, high)
        inner = sorted(map(scale.share, {*numbered, *unnumbered, *thin}))
        assert min(b - a for a, b in itertools.pairwise(inner)) * length * MILLIMETRES >= 1, scale.label
        assert len(numbered) >= 5 and scale.low - 1e-9 <= numbered[0] and numbered[-1] <= scale.high + 1e-9


@pytest.mark.parametrize("name", CABLE)
def test_the_cable_above_the_point_is_the_one_the_form_gives(name):
    """Away from a line or a wall by 3 %; the chart's thinnest line stands for all thinner cable, and past its thickest it has none."""
    chart, asked = load(name).picture, 0
    for current, share in itertools.product((10, 17, 30, 45, 60, 80, 115, 160, 200), (0.1, 0.3, 0.5, 0.7, 0.9)):
        length = float(f"{chart.y.value(share):.4g}")
        reached = {series.name: reach(chart, series, current) for series in chart.series}
        if any(abs(y / length - 1) < NEAR for y in reached.values()) or any(abs(series.points[-1][0] / current - 1) < NEAR for series in chart.series):
            continue
        read = next((int(size) for size, y in reached.items() if y > length), None)
        given = answered("dc-cable", "area_chosen", "mm²", **cable(CABLE[name], current_dc=f"{current} A", length_one_way=f"{length} m"))
        assert read == (None if given is None or given > 95 else max(6, round(given))), (current, length)
        asked += 1
    assert asked >= 30


def reach(chart, series, current):
    """How far up a line holds: past its top end everywhere, right of its wall nowhere."""
    (first, _), (last, _) = series.points[0], series.points[-1]
    return float("inf") if current < first else 0.0 if current > last else ruled.read(chart, series.name, current)


@pytest.mark.parametrize("name", CHARTS)
def test_a_line_is_named_where_nothing_else_is(name):
    chart = load(name).picture
    boxes = dict(ruled.name_boxes(chart))
    assert set(boxes) == {series.name for series in chart.series}
    for one, other in itertools.combinations(boxes.values(), 2):
        assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
    for series in chart.series:
        traced = [ruled.place(chart, x, ruled.read(chart, series.name, x)) for x in places(chart, series)]
        for name_of, (left, top, right, floor) in boxes.items():
            assert left > ruled.LEFT and right < ruled.WIDTH - ruled.RIGHT and top > ruled.TOP
            assert name_of == series.name or not any(left < x < right and top < y < floor for x, y in traced), (name_of, series.name)


def test_neighbouring_lines_differ_by_their_dash_and_stay_inside():
    for name in CHARTS:
        chart = load(name).picture
        for one, other in itertools.pairwise(chart.series):
            assert one.dash != other.dash, name
        for series in chart.series:
            assert all(chart.x.low - 1e-9 <= x <= chart.x.high + 1e-9 and chart.y.low - 1e-9 <= y <= chart.y.high + 1e-9 for x, y in series.points), (name, series.name)


def test_letters_are_legible_in_print_and_on_a_telephone():
    style = (Path(__file__).resolve().parents[2] / "docs/assets/css/handbook.css").read_text("utf-8")
    letters = float(re.search(r"svg\.figure\.ruled text \{ font-size: ([\d.]+)px", style)[1])
    assert letters * MILLIMETRES / 25.4 * 72 >= 7, "points, printed"
    assert letters * 320 / ruled.WIDTH >= 10, "pixels, on a screen of 360"


def test_what_is_said_about_24_volts_is_so():
    """A quarter of the milliohms and twice the volts; two batteries in series, twice the stop voltage."""
    twelve = answered("supply-path", "voltage_inverter", "V", power_ac="1000 W", battery_resistance="5 mΩ", cable_resistance="2 mΩ", joint_resistance="1 mΩ")
    given = {"voltage_open_circuit": "25.2 V", "cut_out": "21 V", "battery_resistance": "20 mΩ", "cable_resistance": "8 mΩ", "joint_resistance": "4 mΩ"}
    assert answered("supply-path", "voltage_inverter", "V", power_ac="1000 W", **given) == pytest.approx(2 * twelve, rel=1e-6)
    kind = {"chemistry": "lead-acid", "depth_limit": "50 %", "current": "60 A"}
    one = answered("charge-state", "stop_voltage", "V", battery_resistance="8 mΩ", voltage="11.5 V", **kind)
    assert answered("charge-state", "stop_voltage", "V", battery_resistance="16 mΩ", voltage="23 V", **kind) == pytest.approx(2 * one, rel=1e-6)


def test_the_rule_of_the_charts_is_no_kinder_than_that_of_flexible_cable():
    for size in (35, 50, 70, 95):
        clipped, flexible = (answered("dc-cable", "ampacity", "A", **cable(12, area=f"{size} mm²", rule=rule)) for rule in ("bs-7671-clipped", "bs-7671-flexible"))
        assert clipped <= flexible, size


def test_each_stands_on_the_page_of_charts_once():
    assert re.findall(r"handbook: drawing (chart-[\w-]+)", source("road/charts.md")) == CHARTS
