"""A conductor that touches a metal case: with and without a neutral-earth link."""

from scripts.drawings.blocks import residual_device
from scripts.drawings.board import Board, Part
from scripts.drawings.registry import drawing

BEFORE = (
    "The inverter's line and neutral go through an RCD to an appliance with a metal case. The case is joined by an earth conductor to the inverter's earth. "
    "Inside the appliance the line touches the case. "
)


@drawing(
    "fault-without-link",
    "A first fault on a floating output",
    BEFORE + "Neutral and earth are not linked anywhere, so the current has no way back to the inverter: the RCD sees the same current out and back and stays closed. "
    "The case is now at the line's voltage and nothing tells of it. A second fault, or a person who joins case and neutral, meets the full voltage.",
    "No link, no way back, no trip: the first fault is silent, and the second one meets full voltage. Where a link belongs is for a licensed person, and differs by country.",
)
def without_link():
    return _fault(linked=False)


@drawing(
    "fault-with-link",
    "The same fault with a neutral–earth link",
    BEFORE + "A link joins neutral and earth at the inverter, ahead of the RCD. The fault current runs out on the line through the RCD, into the case, back on the earth conductor and over the link into the neutral's end at the inverter. "
    "It passes the RCD once and comes back beside it, so the RCD trips.",
    "The fault current comes back beside the RCD and not through it: that is what makes it trip. The link sits on the source's side of the RCD, once only, and is licensed work.",
)
def with_link():
    return _fault(linked=True)


def _fault(linked):
    board, mark = Board(216), "fault" if linked else ""
    board.box("inverter", "inverter", 6, 40, 80, 128, "", {"line": ("right", 22, "L"), "neutral": ("right", 62, "N"), "earth": ("right", 114, "E")})
    board.say(12, 60, "Inverter")
    residual_device(board, "rcd", 122, 48, 32, 68, 62, 102)
    board.box("appliance", "unit", 206, 40, 106, 104, "", {"case": ("bottom", 30, "")})
    board.node("live", 238, 62)
    board.part("element", "resistor", (286, 70), (286, 96))
    board.wire("inverter.line", "rcd.line_in", kind="line", mark=mark)
    board.wire("rcd.line_out", "live", kind="line", mark=mark)
    board.wire("live", "element.a", kind="line")
    board.wire("element.b", "rcd.neutral_out", "y102", kind="neutral")
    board.wire("rcd.neutral_in", "inverter.neutral", kind="neutral")
    board.enter(Part("touch", "fault", {"line": (238, 62), "case": (238, 40)}, {"": [("line", "case")]}, drawn='<path class="blade" d="M238 60l-5 -7 9 -3 -5 -8"/>'))
    board.wire("live", "touch.line", kind="line")
    board.wire("touch.case", "appliance.case", "x312", "y144", kind="case", mark=mark)
    board.wire("appliance.case", "inverter.earth", "y154", kind="earth", mark=mark)
    if linked:
        ends = {"neutral": board.place("inverter.neutral"), "earth": board.place("inverter.earth")}
        board.enter(Part("link", "link", ends, {"": [("neutral", "earth")]}, drawn='<path class="blade" d="M70 104H56V152H70"/>'))
        for end in ends:
            board.wire(f"inverter.{end}", f"link.{end}", kind="earth")
        board.say(50, 132, "link", "end")
    board.say(138, 40, "RCD trips" if linked else "RCD stays in", "middle", "strong")
    board.say(258, 32, "line touches case", "middle")
    board.say(212, 134, "metal case")
    board.say(4, 190, "The current returns beside the RCD." if linked else "No way back to the inverter: no current,\nno trip. The case is live.")
    return board
