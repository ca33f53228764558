"""What an appliance's first stage is made of, and what is inside an inverter."""

from scripts.drawings.board import Board
from scripts.drawings.registry import drawing


@drawing(
    "capacitor-dropper",
    "A capacitor dropper",
    "From the line a series resistor and a capacitor lead to a bridge of four diodes; the neutral goes to the bridge's other AC corner. "
    "Behind the bridge a Zener diode holds the low voltage, and a cell or a lamp is fed. There is no transformer: every part of it is joined to the mains. "
    "On steep edges the capacitor takes large pulses of current, which the small series resistor turns to heat.",
    "Cheap chargers and night lights work so. On a stepped wave each edge sends a pulse through the capacitor, and the series resistor burns. Nothing in it is separated from the mains: never open it.",
)
def capacitor_dropper():
    board = Board(222)
    board.post("line", 12, 54)
    board.post("neutral", 12, 174)
    board.part("resistor", "resistor", (32, 54), (66, 54))
    board.part("dropper", "capacitor", (80, 54), (112, 54))
    _bridge(board, 168, 114, 34)
    board.part("zener", "zener", (240, 140), (240, 88))
    board.part("load", "lamp", (290, 98), (290, 130))
    board.node("zener_plus", 240, 54)
    board.node("zener_minus", 240, 190)
    board.wire("line", "resistor.a", kind="line")
    board.wire("resistor.b", "dropper.a", kind="line")
    board.wire("dropper.b", "bridge_ac1", "x122", kind="line")
    board.wire("neutral", "bridge_ac2", "x224", "y114", kind="neutral")
    board.wire("bridge_plus", "zener_plus", "y54", kind="line")
    board.wire("bridge_minus", "zener_minus", "y190", kind="line")
    board.wire("zener_plus", "zener.b", kind="line")
    board.wire("zener_minus", "zener.a", kind="line")
    board.wire("zener_plus", "load.a", "x290", kind="line")
    board.wire("zener_minus", "load.b", "x290", kind="line")
    board.say(20, 38, "L", "middle")
    board.say(20, 158, "N", "middle")
    board.say(49, 84, "resistor:\nburns", "middle")
    board.say(98, 32, "capacitor", "middle")
    board.say(240, 32, "Zener, load", "middle")
    board.say(4, 214, "no separation: all of it is live", "start", "strong")
    return board


def _bridge(board, x, y, half):
    """Four diodes in a diamond: AC corners left and right, plus on top, minus below."""
    corners = {"ac1": (x - half, y), "ac2": (x + half, y), "plus": (x, y - half), "minus": (x, y + half)}
    for name, place in corners.items():
        board.node(f"bridge_{name}", *place)
    for start, end in (("ac1", "plus"), ("ac2", "plus"), ("minus", "ac1"), ("minus", "ac2")):
        id = f"diode_{start}_{end}"
        board.part(id, "diode", corners[start], corners[end])
        board.wire(f"bridge_{start}", f"{id}.a", kind="line")
        board.wire(f"{id}.b", f"bridge_{end}", kind="line")


@drawing(
    "rectifier",
    "The first stage of a power supply",
    "Line and neutral go to the two AC corners of a bridge of four diodes; a part that limits the inrush sits in the line. "
    "The bridge's plus and minus charge a large capacitor, and from it a converter feeds the appliance. Current flows only near the peaks of the wave, when it is higher than the capacitor's voltage.",
    "Phone chargers, laptops, screens and many others begin so. They charge from the peak, take their current in short pulses, and mostly do not mind a stepped wave whose peak is right.",
)
def rectifier():
    board = Board(222)
    board.post("line", 12, 54)
    board.post("neutral", 12, 174)
    board.part("inrush", "resistor", (36, 54), (70, 54))
    _bridge(board, 140, 114, 34)
    board.part("store", "capacitor", (212, 98), (212, 130))
    board.node("plus", 212, 54)
    board.node("minus", 212, 190)
    board.box("converter", "converter", 236, 40, 80, 164, "Converter\nto the\nappliance", {"plus": ("left", 14, ""), "minus": ("left", 150, "")})
    board.wire("line", "inrush.a", kind="line")
    board.wire("inrush.b", "bridge_ac1", "x90", kind="line")
    board.wire("neutral", "bridge_ac2", "x190", "y114", kind="neutral")
    board.wire("bridge_plus", "plus", "y54", kind="line")
    board.wire("bridge_minus", "minus", "y190", kind="line")
    board.wire("plus", "store.a", kind="line")
    board.wire("minus", "store.b", kind="line")
    board.wire("plus", "converter.plus", kind="line")
    board.wire("minus", "converter.minus", kind="line")
    board.say(20, 38, "L", "middle")
    board.say(20, 158, "N", "middle")
    board.say(53, 84, "inrush\nlimit", "middle")
    board.say(140, 32, "bridge", "middle")
    board.say(212, 32, "store", "middle")
    board.say(4, 214, "charged at the peaks of the wave only")
    return board


@drawing(
    "inverter-inside",
    "What is inside an inverter",
    "Five blocks in the order the power takes. Battery voltage comes in at capacitors, which smooth the current. A step-up stage switches it fast through a transformer and makes a high DC voltage. "
    "A bridge of four switches turns that into a row of pulses, wide and narrow, of either sign. A filter smooths them to the wave at the output. A control block drives step-up and bridge and watches voltage, current and heat.",
    "Four steps from DC to AC. The control and the idle switching take power whenever the inverter is on: that is its standby. Nothing in it is for the user to mend; the capacitors stay charged.",
)
def inverter_inside():
    board = Board(292)
    rows = {"input": (4, "Input\ncapacitors"), "step_up": (60, "Step-up and\ntransformer"), "bridge": (116, "Bridge of\nfour switches"), "filter": (172, "Filter")}
    for id, (y, words) in rows.items():
        board.box(id, "stage", 104, y, 112, 40, words, {"in": ("top", 56, ""), "out": ("bottom", 56, "")} | ({"control": ("right", 20, "")} if id in ("step_up", "bridge") else {}), {"": [("in", "out")]})
    board.box("control", "control", 250, 60, 66, 96, "Control", {"step_up": ("left", 20, ""), "bridge": ("left", 76, "")})
    for one, other in zip(list(rows), list(rows)[1:]):
        board.wire(f"{one}.out", f"{other}.in", kind="plus")
    for stage in ("step_up", "bridge"):
        board.wire(f"control.{stage}", f"{stage}.control", kind="signal")
    board.post("dc", 60, 24)
    board.post("ac", 160, 236)
    board.parts["input"].terminals["in"] = (104, 24)
    board.wire("dc", "input.in")
    board.wire("filter.out", "ac", kind="line")
    board.add('<path class="blade" d="M10 82h76"/>')
    board.add('<path class="blade" d="M8 140h4v-12h6v12h3v-18h14v18h3v-12h6v12h4v12h6v-12h3v18h14v-18h3v12h6v-12h4"/>')
    board.add('<path class="blade" d="M8 202C22 170 34 170 47 202S72 234 86 202"/>')
    board.say(4, 14, "battery DC")
    board.say(4, 76, "high DC")
    board.say(4, 106, "pulses")
    board.say(4, 174, "wave")
    board.say(172, 241, "output, L and N")
    board.say(4, 270, "Standby: the control, and switching with\nnothing to do.")
    return board
