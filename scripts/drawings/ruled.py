"""A chart to be read off with a ruler: a fine grid, logarithmic axes where they help, and each line's name on the line.

Its data are a Figure's, so it has the same table behind it. Only the build draws charts; pages never do.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from calc.render.markup import Markup
from calc.result import Axis, Figure
from calc.units import unit_sign

WIDTH, LEFT, RIGHT, TOP, BOTTOM = 320, 34, 17, 22, 38
PLOT_WIDTH, PLOT_HEIGHT = WIDTH - LEFT - RIGHT, 300
LINE_APART = 3  # least distance of two lines of the grid: 1 mm on a chart printed 110 mm wide
LETTER, LINE = 6.6, 13  # usual width of a letter, height of a line of them
DIGITS = ((1, 1.5, 2, 2.5, 3, 4, 5, 6, 7, 8, 9), (1, 1.5, 2, 3, 4, 5, 6, 8), (1, 2, 3, 4, 5, 6, 8), (1, 2, 3, 5, 7), (1, 2, 3, 5), (1, 2, 5))  # of numbers on a logarithmic axis


@dataclass(frozen=True)
class Scale(Axis):
    """An axis with a grid, straight or logarithmic."""

    log: bool = False

    def share(self, value):
        """How far along the axis a value lies, 0 at its low end and 1 at its high end."""
        if self.log:
            return math.log(value / self.low) / math.log(self.high / self.low)
        return (value - self.low) / (self.high - self.low)

    def value(self, share):
        """The value that far along the axis."""
        return self.low * (self.high / self.low) ** share if self.log else self.low + share * (self.high - self.low)


@dataclass(frozen=True)
class Chart(Figure):
    """A Figure whose axes are Scales, to be read off.

    `names_at` says for each line where along x its name stands on it. With `walls` a line
    ends in one: nothing right of its last point is read from it.
    """

    names_at: tuple = ()
    walls: bool = False


def read(chart, name, x):
    """What a ruler reads off a line: straight between the drawn points, on the axes as drawn.

    Parameters
    ----------
    chart : Chart
        The chart.
    name : str
        The line.
    x : float
        Where, in the x axis's unit.

    Returns
    -------
    float or None
        In the y axis's unit; None where the line is not.
    """
    points = next(series.points for series in chart.series if series.name == name)
    for (x1, y1), (x2, y2) in pairwise(points):
        if x1 <= x <= x2:
            part = (chart.x.share(x) - chart.x.share(x1)) / (chart.x.share(x2) - chart.x.share(x1))
            return chart.y.value(chart.y.share(y1) + part * (chart.y.share(y2) - chart.y.share(y1)))
    return None


def across(chart):
    """Where the grid's upright lines stand.

    Parameters
    ----------
    chart : Chart
        The chart.

    Returns
    -------
    tuple of list
        Values with a number, as many round ones as there is room for; on a logarithmic axis
        the round ones for which there was none; and between all of these the thin lines', at
        even steps, as fine as can be told apart.
    """
    return _ruling(chart.x, PLOT_WIDTH, lambda one, other: LETTER * (len(_number(one)) + len(_number(other))) / 2 + 3)


def up(chart):
    """Where the grid's level lines stand: see `across`."""
    return _ruling(chart.y, PLOT_HEIGHT, lambda one, other: LINE)


def _ruling(scale, length, room):
    """Numbers, round values without one, and thin lines of one axis; `room` is the least distance of two numbers."""

    def apart(one, other):
        return (scale.share(other) - scale.share(one)) * length

    numbers = next(values for values in _round_values(scale) if all(apart(*pair) >= room(*pair) for pair in pairwise(values)))
    unnumbered = [value for value in next(_round_values(scale, (range(1, 10),))) if value not in numbers] if scale.log else []
    thin = []
    for low, high in pairwise(sorted({scale.low, scale.high, *numbers, *unnumbered})):
        for step in _round_steps(low, high):
            inner = [value for value in _multiples(step, low, high) if low < value < high]
            even = low == scale.low or high == scale.high or abs((high - low) / step - round((high - low) / step)) < 1e-6
            if even and all(apart(*pair) >= LINE_APART for pair in pairwise([low, *inner, high])):
                thin += inner
                break
    return numbers, unnumbered, thin


def _round_values(scale, sets_of_digits=DIGITS):
    """Sets of round numbers inside an axis, the closest first."""
    if scale.log:
        powers = range(math.floor(math.log10(scale.low)), math.ceil(math.log10(scale.high)) + 1)
        sets = ([round(digit * 10.0**power, 9) for power in powers for digit in digits] for digits in sets_of_digits)
    else:
        sets = (_multiples(step, scale.low, scale.high) for step in _round_steps(scale.low, scale.high))
    for values in sets:
        yield [value for value in values if scale.low <= value <= scale.high]


def _round_steps(low, high):
    """Round steps, from a thousandth of a stretch up to more than all of it."""
    start = math.floor(math.log10(high - low)) - 2
    return (step * 10.0**power for power in range(start, start + 4) for step in (1, 2, 5))


def _multiples(step, low, high):
    return [round(place * step, 9) for place in range(math.ceil(low / step - 1e-6), math.floor(high / step + 1e-6) + 1)]


def _number(value):
    return f"{value:.10g}"


def draw(chart, id):
    """A chart as an SVG element with title and description.

    Parameters
    ----------
    chart : Chart
        The picture as data.
    id : str
        Prefix that keeps ids apart on a page.

    Returns
    -------
    Markup
        The element.
    """
    parts = [*_grid(chart), *_lines(chart), *_levels(chart), *_names(chart)]
    return Markup(
        '<svg class="figure ruled" viewBox="0 0 {w} {h}" role="img" aria-labelledby="{id}-title" aria-describedby="{id}-desc">'
        '<title id="{id}-title">{title}</title><desc id="{id}-desc">{desc}</desc>{parts}</svg>'
    ).format(w=WIDTH, h=TOP + PLOT_HEIGHT + BOTTOM, id=id, title=chart.title, desc=chart.description, parts=Markup("").join(parts))


def place(chart, x, y):
    """Where a point lies on the drawing."""
    return LEFT + chart.x.share(x) * PLOT_WIDTH, TOP + (1 - chart.y.share(y)) * PLOT_HEIGHT


def _grid(chart):
    floor = TOP + PLOT_HEIGHT
    xs_numbered, *_ = xs_by_kind = across(chart)
    ys_numbered, *_ = ys_by_kind = up(chart)
    for kind, xs, ys in reversed(list(zip(("coarse", "middle", "fine"), xs_by_kind, ys_by_kind))):
        path = [f"M{place(chart, x, chart.y.low)[0]:.1f} {floor}V{TOP}" for x in xs] + [f"M{LEFT} {place(chart, chart.x.low, y)[1]:.1f}H{WIDTH - RIGHT}" for y in ys]
        yield Markup('<path class="{}" d="{}"/>').format(kind, "".join(path))
    yield Markup('<path class="axis" d="M{0} {1}H{2}V{3}H{0}Z"/>').format(LEFT, floor, WIDTH - RIGHT, TOP)
    for x in xs_numbered:
        yield _text(place(chart, x, chart.y.low)[0], floor + 14, _number(x), "middle")
    for y in ys_numbered:
        yield _text(LEFT - 4, place(chart, chart.x.low, y)[1] + 4, _number(y), "end")
    yield _text(2, 10, _titled(chart.y), "start", "axis-title")
    yield _text(WIDTH - RIGHT, floor + 30, _titled(chart.x), "end", "axis-title")


def _titled(axis):
    return f"{axis.label}, {unit_sign(axis.unit)}"


def _lines(chart):
    floor = TOP + PLOT_HEIGHT
    for series in chart.series:
        places = [_rounded(*place(chart, x, y)) for x, y in series.points]
        yield Markup('<path class="line {}" d="M{}"/>').format(series.dash, "L".join(f"{x} {y}" for x, y in places))
        if chart.walls:
            yield Markup('<path class="wall" d="M{} {}V{}"/>').format(*places[-1], floor)


def _levels(chart):
    for level in chart.levels:
        _, y = _rounded(*place(chart, chart.x.low, level.y))
        yield Markup('<path class="level" d="M{} {}H{}"/>').format(LEFT, y, WIDTH - RIGHT)
        yield _text(LEFT + 4, y - 4, level.name, "start", "level-name")


def name_boxes(chart):
    """Each line's name with the place it takes on the drawing: left, top, right, floor."""
    for series, x in zip(chart.series, chart.names_at):
        across, down = place(chart, x, read(chart, series.name, x))
        half = LETTER * len(series.name) / 2
        yield series.name, (across - half, down - 6, across + half, down + 6)


def _names(chart):
    for name, (left, top, right, _) in name_boxes(chart):
        yield _text((left + right) / 2, top + 10, name, "middle", "line-name")


def _text(x, y, words, anchor, kind="tick"):
    return Markup('<text class="{}" x="{}" y="{}" text-anchor="{}">{}</text>').format(kind, *_rounded(x, y), anchor, words)


def _rounded(*places):
    return [round(place, 1) for place in places]
