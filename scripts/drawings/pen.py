"""What schemdraw draws with: its symbols as plain SVG, without a style attribute.

schemdraw hands every line, circle and arc of a symbol to a "figure". This one keeps the
geometry and drops the colours, so that the page's style sheet decides about those.
"""

import math

SCALE = 22
"""Units of the drawing to one of schemdraw's, whose resistor is one long."""


class Pen:
    """Collects a symbol's strokes; y grows downward, as in SVG."""

    def __init__(self):
        self._lines, self._rest = [], []

    @property
    def strokes(self):
        """Everything drawn, as SVG elements: the lines in one path, what is filled or written above them."""
        return [f'<path d="{"".join(self._lines)}"/>', *self._rest]

    def plot(self, x, y, fill=None, **_):
        """A path; a gap in it is a pair that is not a number."""
        stretches = [[]]
        for place in zip(x, y):
            if any(map(math.isnan, place)):
                stretches.append([])
            else:
                stretches[-1].append(_scaled(*place))
        self._stroke("".join(trace(places) for places in stretches if places), fill)

    def poly(self, verts, closed=True, fill=None, **_):
        """A polygon."""
        self._stroke(f"{trace([_scaled(*place) for place in verts])}{'Z' if closed else ''}", fill)

    def circle(self, center, radius, fill=None, **_):
        """A circle."""
        x, y = _at(*center)
        self._rest.append(f'<circle{_filled(fill)} cx="{x}" cy="{y}" r="{number(radius * SCALE)}"/>')

    def arrow(self, xy, theta, arrowwidth=0.15, arrowlength=0.2, **_):
        """The head of an arrow that points along `theta`, in degrees."""
        along = math.cos(math.radians(theta)), math.sin(math.radians(theta))
        back = [xy[axis] - arrowlength * along[axis] for axis in (0, 1)]
        wing = -along[1] * arrowwidth / 2, along[0] * arrowwidth / 2
        self.poly([tuple(xy), (back[0] + wing[0], back[1] + wing[1]), (back[0] - wing[0], back[1] - wing[1])], fill=True)

    def text(self, s, x, y, **_):
        """A letter inside a symbol, such as the V of a meter."""
        x, y = _at(x, y)
        self._rest.append(f'<text class="letter" x="{x}" y="{number(float(y) + 4.5)}" text-anchor="middle">{s}</text>')

    def _stroke(self, path, fill):
        if _filled(fill):
            self._rest.append(f'<path{_filled(fill)} d="{path}"/>')
        else:
            self._lines.append(path)


def number(value):
    """A coordinate with one decimal at most, so that the same drawing gives the same bytes.

    Parameters
    ----------
    value : float
        Units of the drawing.

    Returns
    -------
    str
        Without trailing zeroes, and never "-0".
    """
    return f"{round(value, 1) + 0:.1f}".removesuffix(".0")


def trace(places):
    """A path along places: absolute where it starts, then by steps, so that a symbol reads the same wherever it stands.

    Parameters
    ----------
    places : list of tuple
        Two units of the drawing each.

    Returns
    -------
    str
        For the attribute `d`; what repeats weighs next to nothing when the page is compressed.
    """
    (x, y), *rest = [(float(number(x)), float(number(y))) for x, y in places]
    steps = []
    for goal_x, goal_y in rest:
        across, down = number(goal_x - x), number(goal_y - y)
        steps.append(f"h{across}" if down == "0" else f"v{down}" if across == "0" else f"l{across} {down}")
        x, y = goal_x, goal_y
    return f"M{number(places[0][0])} {number(places[0][1])}{''.join(steps)}"


def _at(x, y):
    return tuple(map(number, _scaled(x, y)))


def _scaled(x, y):
    return x * SCALE, -y * SCALE


def _filled(fill):
    if fill in (None, False, "none"):
        return ""
    return ' class="paper"' if fill in ("bg", "white") else ' class="solid"'
