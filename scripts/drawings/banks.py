"""Batteries joined to one bank: in series, and side by side with the take-off in three places."""

from calc.render import words
from scripts.drawings.board import Board
from scripts.drawings.registry import drawing
from scripts.drawings.values import answered, said

PLACES = (52, 118, 184, 250)


@drawing(
    "series-bank",
    "Two batteries in series",
    "Two alike 12 V batteries one after the other: the lower one's plus is joined to the upper one's minus. "
    "Between the lowest minus and the topmost plus stand 24 V. The fuse sits on the topmost plus. "
    "The same current runs through both, so the amp-hours stay those of one battery. Nothing is joined to the middle.",
    "Volts add up, amp-hours do not. Both batteries must be alike in kind, size and age. Nothing for 12 V is taken from the middle: it would empty one of the two.",
)
def series_bank():
    board = Board(240)
    board.battery("lower", (60, 206), (60, 182))
    board.battery("upper", (60, 142), (60, 118))
    board.part("fuse", "fuse", (60, 108), (60, 74), heavy=True)
    board.post("plus", 220, 50)
    board.post("minus", 220, 222)
    board.wire("upper.plus", "fuse.a")
    board.wire("fuse.b", "plus", "y50")
    board.wire("lower.plus", "upper.minus")
    board.wire("lower.minus", "minus", "y222", kind="minus")
    board.say(76, 96, "fuse")
    board.say(76, 134, "12 V")
    board.say(76, 198, "12 V")
    board.say(76, 166, "no load here")
    board.say(230, 55, "+")
    board.say(230, 227, "−")
    board.add('<path d="M220 66V206M216 74l4 -8l4 8M216 198l4 8l4 -8"/>')
    board.say(230, 132, "24 V,\namp-hours\nof one")
    return board


WAYS = {
    "same-end": ("Four batteries, both leads at one end", "same end", "The battery nearest the take-off works hardest and the farthest least."),
    "diagonal": ("Four batteries, leads at opposite ends", "opposite ends", "Every battery now has the same number of links in its way: far better, though the middle ones still give a little less."),
}


def _described(way):
    return (
        "Four alike batteries stand side by side, each with a fuse of its own on its plus. Links join them to a plus rail above and a minus rail below. "
        + ("Plus and minus leads to the inverter both leave at the first battery, on the left. " if way == "same-end" else "The plus lead leaves at the first battery on the left, the minus lead at the last one on the right. ")
        + "Of {current} the batteries give {one}, {two}, {three} and {four}."
    )


@drawing("parallel-same-end", WAYS["same-end"][0], _described("same-end"), WAYS["same-end"][2] + " Currents of the parallel-bank calculator's example.")
def same_end():
    return _row("same-end")


@drawing("parallel-diagonal", WAYS["diagonal"][0], _described("diagonal"), WAYS["diagonal"][2] + " The same batteries and links as with both leads at one end.")
def diagonal():
    return _row("diagonal")


@drawing(
    "parallel-posts",
    "Four batteries, equal leads to common posts",
    "Four alike batteries, each with a fuse of its own on its plus. Each has its own plus lead to one common plus post and its own minus lead to one common minus post; all leads are of one length and size. "
    "The inverter is taken from the two posts. Of {current} each battery gives {one}.",
    "Equal leads to common posts share best: alike batteries give alike currents. Leads that look shorter here are cut to the length of the longest.",
)
def posts():
    values = _currents("posts")
    board = Board(284)
    _batteries(board, values, 78)
    board.box("plus_post", "busbar", 100, 22, 120, 16, "", {f"in{i}": ("bottom", 15 + 30 * i, "") for i in range(4)} | {"out": ("right", 8, "")}, {"": [("in0", f"in{i}") for i in (1, 2, 3)] + [("in0", "out")]}, style="shade")
    board.box("minus_post", "busbar", 100, 228, 120, 16, "", {f"in{i}": ("top", 15 + 30 * i, "") for i in range(4)} | {"out": ("right", 8, "")}, {"": [("in0", f"in{i}") for i in (1, 2, 3)] + [("in0", "out")]}, style="shade")
    for i, shift in enumerate((12, 24, 24, 12)):
        board.wire(f"battery{i}_fuse.b", f"plus_post.in{i}", f"y{38 + shift}")
        board.wire(f"battery{i}.minus", f"minus_post.in{i}", f"y{228 - shift}", kind="minus")
    for name, y in (("plus", 30), ("minus", 236)):
        board.post(name, 300, y)
        board.wire(f"{name}_post.out", name, kind=name)
    board.say(300, 18, "+", "middle")
    board.say(300, 258, "−", "middle")
    board.say(160, 14, "common plus post", "middle")
    board.say(160, 262, "common minus post", "middle")
    board.say(160, 280, "all leads of one length and size", "middle")
    return board, values


def _currents(way):
    result = answered("parallel-bank", take_off=way)
    currents = {name: said(result, f"current_{place}", 2) for place, name in enumerate(("one", "two", "three", "four"), 1)}
    return currents | {"current": words.input_likely(result.input("current"))}


def _batteries(board, values, top):
    for i, (x, key) in enumerate(zip(PLACES, ("one", "two", "three", "four"))):
        board.battery(f"battery{i}", (x, top + 74), (x, top + 50))
        board.part(f"battery{i}_fuse", "fuse", (x, top + 42), (x, top + 8), heavy=True)
        board.wire(f"battery{i}.plus", f"battery{i}_fuse.a")
        board.say(x + 12, top + 92, values[key], "start", "strong")


def _row(way):
    values = _currents(way)
    board, top, floor = Board(206), 52, 160
    _batteries(board, values, top)
    for rail, y, kind in (("top", top, "plus"), ("foot", floor, "minus")):
        for i, x in enumerate(PLACES):
            board.node(f"{rail}{i}", x, y)
        for i in range(3):
            board.wire(f"{rail}{i}", f"{rail}{i + 1}", kind=kind)
    for i in range(4):
        board.wire(f"battery{i}_fuse.b", f"top{i}")
        board.wire(f"battery{i}.minus", f"foot{i}", kind="minus")
    board.post("plus", 14, top)
    board.wire("plus", "top0")
    board.say(14, top - 10, "+", "middle")
    x, end = (14, "foot0") if way == "same-end" else (304, "foot3")
    board.post("minus", x, floor)
    board.wire("minus", end, kind="minus")
    board.say(x, floor + 20, "−", "middle")
    board.say(160, 20, f"{values['current']} to the inverter, {WAYS[way][1]}", "middle")
    board.say(160, 198, "a fuse on each battery", "middle")
    return board, values
