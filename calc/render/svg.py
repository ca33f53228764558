"""A Figure as SVG: the same at build, live and on paper.

No style attribute and no script, so that the strictest page policy allows it; colours
come from the style sheet, and lines differ by dash as well, for black-and-white paper.
Drawn 320 units wide, the width of a small phone's column, so that its text stays legible there.
"""

import math

from calc.render.markup import Markup

from calc.units import format_number, unit_sign

WIDTH, HEIGHT = 320, 230
LEFT, RIGHT, BOTTOM, LEGEND_LINE = 40, 14, 38, 16
TICK_LETTER, TICK_MOST = 7, 24  # width of a letter of a tick's name, and the most letters drawn of one
NAME_LETTER = 8  # width of a letter of a mark's or a level's name


def draw(figure, id):
    """An SVG element with title and description.

    Parameters
    ----------
    figure : Figure
        The picture as data.
    id : str
        Prefix that keeps ids apart on a page.

    Returns
    -------
    Markup
        The element.
    """
    plot = _Plot(figure)
    parts = [*plot.grid(), *plot.lines(), *plot.levels(), *plot.marks(), *plot.legend()]
    return Markup(
        '<svg class="figure" viewBox="0 0 {w} {h}" role="img" aria-labelledby="{id}-title {id}-desc">'
        '<title id="{id}-title">{title}</title><desc id="{id}-desc">{desc}</desc>{parts}</svg>'
    ).format(w=WIDTH, h=HEIGHT + plot.legend_height, id=id, title=figure.title, desc=figure.description, parts=Markup("").join(parts))


def table(figure):
    """The figure's data as an HTML table.

    Parameters
    ----------
    figure : Figure
        The picture as data.

    Returns
    -------
    Markup
        A `table` element; one column for the position, one for each line.
    """
    places = sorted({x for series in figure.series for x, _ in series.points})
    columns = [dict(series.points) for series in figure.series]
    head = Markup('<th scope="col">{}</th>').format(_axis_title(figure.x) or "place")
    head += Markup("").join(Markup('<th scope="col">{}</th>').format(_titled(series.name, figure.y.unit)) for series in figure.series)
    words = dict(figure.x.ticks)
    rows = Markup("").join(
        Markup('<tr><th scope="row">{}</th>{}</tr>').format(
            words.get(x, format_number(x, 3)),
            Markup("").join(Markup("<td>{}</td>").format(format_number(column[x], 3) if x in column else "") for column in columns),
        )
        for x in places
    )
    limits = Markup("").join(
        Markup('<tr><th scope="row">{}</th><td colspan="{}">{}</td></tr>').format(level.name, len(columns), format_number(level.y, 3))
        for level in figure.levels
    )
    return Markup("<table><thead><tr>{}</tr></thead><tbody>{}{}</tbody></table>").format(head, rows, limits)


def _axis_title(axis):
    return _titled(axis.label, axis.unit) if axis.label else ""


def _titled(words, unit):
    return f"{words}, {unit_sign(unit)}" if unit else words


def _shortened(words, most):
    """A tick's name as far as there is room on the drawing; the figure's table has it whole."""
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"


def _round_ticks(low, high, count):
    """Round numbers between two ends, about as many as asked for."""
    step = 10 ** math.floor(math.log10((high - low) / count))
    step = next(step * factor for factor in (1, 2, 5, 10) if (high - low) / (step * factor) <= count)
    first = math.ceil(low / step - 1e-9)
    return [place * step for place in range(first, math.floor(high / step + 1e-9) + 1)]


def _taken(x, y, words, anchor):
    """Left, right, top and floor of words on the drawing, with some room."""
    width = NAME_LETTER * len(words)
    left = x if anchor == "start" else x - width
    return left, left + width, y - 12, y + 3


def _apart(x, corner, anchor, words):
    """How far words stand from a place on the drawing, in lengths that weigh as much as a covered point of a line."""
    left, right, _, _ = _taken(*corner, words, anchor)
    return max(left - x, x - right, 0) / 20


class _Plot:
    """Turns positions into places on the drawing."""

    def __init__(self, figure):
        self.figure = figure
        self.legend_height = LEGEND_LINE * (len(figure.series) if len(figure.series) > 1 else 0)
        self.top = 26 + self.legend_height
        self.floor = HEIGHT + self.legend_height - BOTTOM

    def at(self, x, y):
        axes = self.figure.x, self.figure.y
        right = (x - axes[0].low) / (axes[0].high - axes[0].low)
        up = (y - axes[1].low) / (axes[1].high - axes[1].low)
        return round(LEFT + right * (WIDTH - LEFT - RIGHT), 1), round(self.floor - up * (self.floor - self.top), 1)

    def grid(self):
        x_axis, y_axis = self.figure.x, self.figure.y
        for value in _round_ticks(y_axis.low, y_axis.high, 5):
            _, y = self.at(x_axis.low, value)
            yield Markup('<path class="grid" d="M{} {}H{}"/>').format(LEFT, y, WIDTH - RIGHT)
            yield self._text(LEFT - 5, y + 4, f"{value:.10g}".replace("-", "−"), "end")
        yield self._text(2, self.top - 13, _axis_title(y_axis), "start", "axis-title")
        ticks = x_axis.ticks or [(value, f"{value:.10g}") for value in _round_ticks(x_axis.low, x_axis.high, 6)]
        room = (WIDTH - LEFT - RIGHT) / len(ticks) / TICK_LETTER
        crowded = max(len(words) for _, words in ticks) > room
        for place, (value, words) in enumerate(ticks):
            x, _ = self.at(value, y_axis.low)
            lower = 13 if crowded and place % 2 else 0  # every second name a line down
            yield Markup('<path class="axis" d="M{} {}v{}"/>').format(x, self.floor, 4 + lower)
            yield self._text(x, self.floor + 16 + lower, _shortened(words, min(int(2 * room), TICK_MOST)), self._anchor(value))
        yield Markup('<path class="axis" d="M{} {}H{}"/>').format(LEFT, self.floor, WIDTH - RIGHT)
        yield self._text(WIDTH - RIGHT, self.floor + 32, _axis_title(x_axis), "end", "axis-title")

    def _anchor(self, value):
        """Words at the ends of the axis lean inward, so that none is cut off."""
        if not self.figure.x.ticks:
            return "middle"
        return "start" if value == self.figure.x.low else "end" if value == self.figure.x.high else "middle"

    def levels(self):
        for level in self.figure.levels:
            _, y = self.at(self.figure.x.low, level.y)
            yield Markup('<path class="level" d="M{} {}H{}"/>').format(LEFT, y, WIDTH - RIGHT)
            yield self._text(*self._level_name(level), "level-name")

    def _level_name(self, level):
        """Where a level's name stands: place, words and side."""
        left = self._clear_on_the_left(level.y)
        _, y = self.at(self.figure.x.low, level.y)
        return LEFT + 4 if left else WIDTH - RIGHT - 2, y - 5, level.name, "start" if left else "end"

    def _clear_on_the_left(self, height):
        """Which side of a level has more room for its name."""
        middle = (self.figure.x.low + self.figure.x.high) / 2
        points = [point for series in self.figure.series for point in series.points]
        distances = [
            min([abs(y - height) for x, y in points if (x < middle) == left], default=math.inf) for left in (True, False)
        ]
        return distances[0] >= distances[1]

    def lines(self):
        for series in self.figure.series:
            places = [self.at(x, y) for x, y in series.points]
            if series.bars:
                yield from self._bars(series, places)
                continue
            path = " ".join(f"{'M' if index == 0 else 'L'}{x} {y}" for index, (x, y) in enumerate(places))
            yield Markup('<path class="line {}" d="{}"/>').format(series.dash, path)
            if series.markers:
                for x, y in places:
                    yield Markup('<circle class="point {}" cx="{}" cy="{}" r="3"/>').format(series.dash, x, y)

    def _bars(self, series, places):
        """Bars side by side where several series have them."""
        rows = [one for one in self.figure.series if one.bars]
        room = (WIDTH - LEFT - RIGHT) / (max(len(one.points) for one in rows) + 1)
        width = round(min(room * 0.8, 28) / len(rows), 1)
        shift = width * (rows.index(series) - len(rows) / 2)
        y_axis = self.figure.y
        _, ground = self.at(self.figure.x.low, min(max(0.0, y_axis.low), y_axis.high))
        for x, y in places:
            top, height = min(y, ground), abs(ground - y)
            yield Markup('<rect class="bar {}" x="{}" y="{}" width="{}" height="{}"/>').format(
                series.dash, round(x + shift, 1), round(top, 1), width, round(height, 1)
            )

    def marks(self):
        for mark in self.figure.marks:
            x, y = self.at(mark.x, mark.y)
            corner, anchor = min(self._corners(x, y), key=lambda place: self._clutter(*place, mark.name) + _apart(x, *place, mark.name))
            yield Markup('<circle class="mark" cx="{}" cy="{}" r="5"/>').format(x, y)
            yield self._text(*corner, mark.name, anchor, "mark-name")

    def _corners(self, x, y):
        """Where a mark's name may stand: above or below it, on either side or at the drawing's edge, the nearest first."""
        return [((where, y + rise), anchor) for rise in (-9, 21, -24, 36) for where, anchor in ((x + 8, "start"), (x - 8, "end"), (WIDTH - RIGHT, "end"))]

    def _clutter(self, corner, anchor, name):
        """How much of the drawing a name would cover there; far too much outside the plot."""
        left, right, top, floor = _taken(*corner, name, anchor)
        if left < LEFT or right > WIDTH or top < self.top - 4 or floor > self.floor:
            return 1000
        names = [_taken(*self._level_name(level)) for level in self.figure.levels]
        covered = sum(20 for one in names if left < one[1] and one[0] < right and top < one[3] and one[2] < floor)
        covered += sum(5 for level in self.figure.levels if top <= self.at(self.figure.x.low, level.y)[1] <= floor)
        return covered + sum(left <= px <= right and top <= py <= floor for px, py in self._traced())

    def _traced(self):
        """Places along every line, close together."""
        for series in self.figure.series:
            places = [self.at(x, y) for x, y in series.points]
            for (x1, y1), (x2, y2) in zip(places, places[1:]):
                for part in range(9):
                    yield x1 + (x2 - x1) * part / 8, y1 + (y2 - y1) * part / 8

    def legend(self):
        if not self.legend_height:
            return
        for index, series in enumerate(self.figure.series):
            y = 10 + LEGEND_LINE * index
            if series.bars:
                yield Markup('<rect class="bar {}" x="2" y="{}" width="28" height="10"/>').format(series.dash, y - 5)
            else:
                yield Markup('<path class="line {}" d="M2 {}h28"/>').format(series.dash, y)
            yield self._text(36, y + 4, series.name, "start")

    def _text(self, x, y, words, anchor, kind="tick"):
        return Markup('<text class="{}" x="{}" y="{}" text-anchor="{}">{}</text>').format(kind, round(x, 1), round(y, 1), anchor, words)
