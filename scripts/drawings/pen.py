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
        parts, pen_up = [], True
        for place in zip(x, y):
            if any(map(math.isnan, place)):
                pen_up = True
                continue
            parts.append("{}{} {}".format("M" if pen_up else "L", *_at(*place)))
            pen_up = False
        self._stroke("".join(parts), fill)

    def poly(self, verts, closed=True, fill=None, **_):
        """A polygon."""
        points = "L".join("{} {}".format(*_at(*place)) for place in verts)
        self._stroke(f"M{points}{'Z' if closed else ''}", fill)

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


def _at(x, y):
    return number(x * SCALE), number(-y * SCALE)


def _filled(fill):
    if fill in (None, False, "none"):
        return ""
    return ' class="paper"' if fill in ("bg", "white") else ' class="solid"'
