"""A circuit as data: parts with terminals, and wires between them. The drawing is made from it.

Nothing is drawn that is not in the lists `parts` and `wires`, and what is connected in the
lists is connected on paper: so a test can ask the same data which source reaches which outlet.
"""

from dataclasses import dataclass, field

import schemdraw
import schemdraw.elements as symbols

from scripts.drawings.pen import SCALE, Pen, number, trace

from calc.render.markup import Markup

WIDTH = 320
LINE = 15
"""From one line of words to the next."""

KINDS = {
    "battery": symbols.Battery,
    "cell": symbols.BatteryCell,
    "fuse": symbols.FuseIEC,
    "resistor": symbols.ResistorIEC,
    "capacitor": symbols.Capacitor,
    "diode": symbols.Diode,
    "zener": symbols.Zener,
    "inductor": symbols.Inductor2,
    "lamp": symbols.Lamp2,
    "motor": symbols.Motor,
    "panel": symbols.Solar,
    "alternator": symbols.SourceSin,
    "voltmeter": symbols.MeterV,
}
"""Symbols of two terminals, after IEC 60617 where schemdraw has them so."""

CONDUCTING = {"fuse", "resistor", "inductor", "lamp", "motor", "clamp", "link"}
"""Kinds whose two terminals are joined whatever the state."""


@dataclass
class Part:
    """One thing with terminals: where they are, and which are joined inside in which state."""

    id: str
    kind: str
    terminals: dict
    joined: dict = field(default_factory=dict)  # state, or "" for always: pairs of terminals
    area: tuple | None = None  # left, top, right, bottom of what no wire may cross
    drawn: str = ""


@dataclass
class Wire:
    """One conductor from terminal to terminal, with its corners."""

    start: str
    end: str
    path: list
    kind: str
    mark: str = ""


@dataclass
class Words:
    """Lines of text; `y` is the first one's base line."""

    x: float
    y: float
    lines: list
    anchor: str
    kind: str


class Board:
    """A circuit diagram, 320 units wide.

    Parameters
    ----------
    height : float
        Units of the drawing.
    states : tuple of str
        Positions its switches can be in, where it has any.
    """

    def __init__(self, height, states=("",)):
        self.height, self.states = height, states
        self.parts, self.wires, self.words, self.extras = {}, [], [], []
        self.open = set()  # terminals that are left unwired on purpose

    def part(self, id, kind, start, end, names=("a", "b"), heavy=False):
        """A symbol of two terminals between two places; a battery's first is its minus."""
        part = Part(id, kind, dict(zip(names, (start, end))), drawn=_symbol(KINDS[kind](), start, end, heavy), area=_around(start, end))
        if kind in CONDUCTING:
            part.joined[""] = [names]
        return self.enter(part)

    def battery(self, id, minus, plus, kind="battery"):
        """A battery: the long stroke is its plus."""
        part = Part(id, "battery", {"minus": minus, "plus": plus}, drawn=_symbol(KINDS[kind](), plus, minus, True), area=_around(minus, plus))
        return self.enter(part)

    def switch(self, id, start, end, closed=True, kind="switch", heavy=False):
        """A switch, drawn open or closed."""
        part = Part(id, kind, {"a": start, "b": end}, {"closed": [("a", "b")]} | ({"": [("a", "b")]} if closed else {}),
                    area=_around(start, end), drawn=_symbol(symbols.Switch(nc=closed), start, end, heavy))  # fmt: skip
        return self.enter(part)

    def box(self, id, kind, x, y, width, height, words="", terminals=None, joined=None, style="box", base=None):
        """A rectangle with words in it; terminals as name: (side, distance along it, letter inside)."""
        places = {}
        for name, (side, along, letter) in (terminals or {}).items():
            places[name] = {"left": (x, y + along), "right": (x + width, y + along), "top": (x + along, y), "bottom": (x + along, y + height)}[side]
            if letter:
                self._letter(side, places[name], letter)
        lines = words.split("\n") if words else []
        if lines:
            self.say(x + width / 2, base if base is not None else y + height / 2 + 4.5 - LINE * (len(lines) - 1) / 2, words, "middle", "inside")
        drawn = f'<rect class="{style}" x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}"/>'
        return self.enter(Part(id, kind, places, joined or {}, (x, y, x + width, y + height), drawn))

    def node(self, id, x, y):
        """A joint of wires, drawn as a dot."""
        return self.enter(Part(id, "node", {"": (x, y)}, drawn=f'<circle class="solid" cx="{number(x)}" cy="{number(y)}" r="2.8"/>'))

    def post(self, id, x, y):
        """A terminal to screw or plug something to, drawn as a ring."""
        return self.enter(Part(id, "post", {"": (x, y)}, drawn=f'<circle class="paper" cx="{number(x)}" cy="{number(y)}" r="3.2"/>'))

    def link(self, id, box, state=""):
        """A neutral-earth link inside a box with the letters E on its left and N on its right; closed always, or in one state."""
        earth, neutral = self.place(f"{box}.earth"), self.place(f"{box}.neutral")
        left, right, y = earth[0] + 9, neutral[0] - 9, earth[1]
        drawn = f'<path class="link" d="M{number(left)} {number(y + 7)}V{number(y + 13)}H{number(right)}V{number(y + 7)}"/>'
        self.enter(Part(id, "link", {"neutral": neutral, "earth": earth}, {state: [("neutral", "earth")]}, drawn=drawn))
        self.say((left + right) / 2, y + 9, "link", "middle", "inside")
        self.wires += [Wire(f"{box}.{end}", f"{id}.{end}", [self.place(f"{box}.{end}")] * 2, "earth") for end in ("neutral", "earth")]

    def chassis(self, id, x, y):
        """The metal body of a vehicle or the protective earth of a cabin; the wire comes from above."""
        drawn = f'<path d="M{number(x - 11)} {number(y)}h22M{number(x - 8)} {number(y)}l-5 7M{number(x)} {number(y)}l-5 7M{number(x + 8)} {number(y)}l-5 7"/>'
        return self.enter(Part(id, "chassis", {"": (x, y)}, drawn=drawn))

    def changeover(self, id, poles, positions, at):
        """A switch of several poles on one shaft, position I above, II below, off between.

        `poles` is name: (x, y) of its common terminal; `positions` the names of I and II.
        """
        terminals, drawn, joined = {}, [], {state: [] for state in positions}
        for name, (x, y) in poles.items():
            ends = {positions[0]: (x - 36, y - 14), positions[1]: (x - 36, y + 14)}
            terminals |= {f"{name}_common": (x, y)} | {f"{name}_{state}": place for state, place in ends.items()}
            for state in positions:
                joined[state].append((f"{name}_common", f"{name}_{state}"))
            tip_x, tip_y = ends.get(at, (x - 36, y))
            drawn.append(f'<path class="blade" d="M{number(x)} {number(y)}L{number(tip_x)} {number(tip_y)}"/>')
            drawn += [f'<circle class="paper" cx="{number(a)}" cy="{number(b)}" r="3"/>' for a, b in ((x, y), *ends.values())]
        across, shift = poles.values(), {positions[0]: -7, positions[1]: 7}.get(at, 0)
        rows = sorted(y + shift for _, y in across)
        middle = next(iter(across))[0] - 18
        drawn.append(f'<path class="shaft" d="M{number(middle)} {number(rows[0])}V{number(rows[-1])}"/>')
        return self.enter(Part(id, "changeover", terminals, joined, drawn="".join(drawn)))

    def wire(self, start, end, *corners, kind="plus", mark=""):
        """A wire; a corner "x120" means along to 120, "y80" up or down to 80."""
        (x, y), goal = self.place(start), self.place(end)
        path = [(x, y)]
        for corner in corners:
            x, y = (float(corner[1:]), y) if corner[0] == "x" else (x, float(corner[1:]))
            path.append((x, y))
        if x != goal[0] and y != goal[1]:
            path.append((x, goal[1]) if corners and corners[-1][0] == "x" else (goal[0], y))
        path.append(goal)
        self.wires.append(Wire(start, end, path, kind, mark))

    def say(self, x, y, words, anchor="start", kind="tick"):
        """Words beside the parts; a line break starts a new line."""
        self.words.append(Words(x, y, words.split("\n"), anchor, kind))

    def add(self, markup):
        """A stroke that is no part of the circuit: a frame, a figure of a person, a cross."""
        self.extras.append(markup)

    def frame(self, x, y, width, height):
        """A dashed frame around what belongs together."""
        self.add(f'<rect class="frame" x="{number(x)}" y="{number(y)}" width="{number(width)}" height="{number(height)}" rx="4"/>')

    def place(self, terminal):
        """Where a terminal is, named "part.terminal", or "part" for a joint."""
        part, _, name = terminal.partition(".")
        return self.parts[part].terminals[name]

    def links(self, state=""):
        """Pairs of terminals that are at one voltage in a state: wires, and what parts join inside."""
        yield from ((wire.start, wire.end) for wire in self.wires)
        for part in self.parts.values():
            for when in {"", state}:
                for pair in part.joined.get(when, ()):
                    yield tuple(f"{part.id}.{name}" if name else part.id for name in pair)

    def body(self):
        """Everything drawn, as SVG elements."""
        marked = "".join(_marked(wire) for wire in self.wires if wire.mark)
        drawn = {kind: "".join(trace(wire.path) for wire in self.wires if wire.kind == kind and len(set(wire.path)) > 1) for kind in dict.fromkeys(wire.kind for wire in self.wires)}
        wires = "".join(f'<path class="wire-{kind}" d="{path}"/>' for kind, path in drawn.items() if path)
        parts = "".join(part.drawn for part in self.parts.values())
        words = Markup("").join(_words(one) for one in self.words)
        return Markup('<g class="ink" fill="none" stroke="currentColor">{}</g>{}').format(Markup(marked + "".join(self.extras) + wires + parts), words)

    def enter(self, part):
        """Take in a part that is drawn already."""
        if part.id in self.parts:
            raise ValueError(f"there are two parts {part.id}")
        self.parts[part.id] = part
        return part

    def _letter(self, side, place, letter):
        x, y = place
        shift, anchor = {"left": ((5, 4.5), "start"), "right": ((-5, 4.5), "end"), "top": ((0, 14), "middle"), "bottom": ((0, -5), "middle")}[side]
        self.say(x + shift[0], y + shift[1], letter, anchor, "inside")


def _symbol(element, start, end, heavy):
    """A symbol of schemdraw's, stretched from one place to the other."""
    drawing, pen = schemdraw.Drawing(show=False), Pen()
    drawing.add(element.endpoints(_units(start), _units(end)))
    for placed in drawing.elements:
        for segment in placed.segments:
            segment.draw(pen, placed.transform)
    return f'<g class="{"heavy" if heavy else "thin"}">{"".join(pen.strokes)}</g>'


def _units(place):
    return place[0] / SCALE, -place[1] / SCALE


def _around(start, end, half=9):
    """The middle of a symbol of two terminals, which no wire may cross."""
    (x1, y1), (x2, y2) = sorted((start, end))
    top, bottom = sorted((y1, y2))
    if x1 != x2 and y1 != y2:
        return ((x1 + x2) / 2 - half, (y1 + y2) / 2 - half, (x1 + x2) / 2 + half, (y1 + y2) / 2 + half)
    return (x1 + 2, top - half, x2 - 2, bottom + half) if x2 - x1 > bottom - top else (x1 - half, top + 2, x2 + half, bottom - 2)


def _marked(wire):
    """A broad hatched band under a wire, and an arrow in the middle of its longest stretch, where it has room."""
    band = f'<path class="{wire.mark}" d="{trace(wire.path)}"/>'
    (x1, y1), (x2, y2) = max(zip(wire.path, wire.path[1:]), key=lambda ends: abs(ends[0][0] - ends[1][0]) + abs(ends[0][1] - ends[1][1]))
    if abs(x2 - x1) + abs(y2 - y1) < 20:
        return band
    x, y = (x1 + x2) / 2, (y1 + y2) / 2
    along = ((x2 > x1) - (x2 < x1), (y2 > y1) - (y2 < y1))
    tip, wing = (x + 7 * along[0], y + 7 * along[1]), (6 * along[1], 6 * along[0])
    back = (x - 5 * along[0], y - 5 * along[1])
    head = trace([tip, (back[0] + wing[0], back[1] + wing[1]), (back[0] - wing[0], back[1] - wing[1])])
    return f'{band}<path class="{wire.mark}-arrow" d="{head}Z"/>'


def _words(one):
    kind = Markup(' class="{}"').format(one.kind) if one.kind == "strong" else ""
    anchor = Markup(' text-anchor="{}"').format(one.anchor) if one.anchor != "start" else ""
    return Markup("").join(
        Markup('<text{} x="{}" y="{}"{}>{}</text>').format(kind, number(one.x), number(one.y + LINE * row), anchor, line) for row, line in enumerate(one.lines)
    )
