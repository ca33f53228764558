"""Where the meter's leads and the clamp go."""

from scripts.drawings.board import Board
from scripts.drawings.registry import drawing


def _clamp(board, x, y):
    """A clamp around one conductor that runs across: a ring."""
    board.add(f'<ellipse class="blade" cx="{x}" cy="{y}" rx="7" ry="12"/>')


@drawing(
    "two-load-test",
    "Two loads, two readings",
    "A battery feeds an inverter through its fuse. A voltmeter's leads sit on the battery's two posts, inside the fuse, and stay there. A current clamp is closed around the plus cable alone. "
    "The inverter feeds a small load all the time; a large, known load beside it has a switch of its own. Volts and amps are read with the small load, and again within half a minute of switching the large one on at the appliance.",
    "The drop in volts over the rise in amps is the battery's resistance. Switch at the appliance, never at the posts, and not within an hour of charging a vented lead battery.",
)
def two_load_test():
    board = Board(252)
    _source(board, 24, 152)
    _clamp(board, 92, 64)
    board.say(92, 46, "clamp: A", "middle")
    board.box("inverter", "inverter", 136, 46, 74, 160, "Inverter", {"plus": ("left", 18, "+"), "minus": ("left", 142, "−"), "line": ("right", 18, "L"), "neutral": ("right", 142, "N")})
    board.wire("battery_fuse.b", "inverter.plus", "y64")
    board.wire("joint_minus", "inverter.minus", "y188", kind="minus")
    board.node("line", 240, 64)
    board.node("neutral", 240, 188)
    board.part("small", "lamp", (240, 104), (240, 140))
    board.switch("switch", (290, 76), (290, 106), closed=False)
    board.part("large", "resistor", (290, 116), (290, 152))
    board.wire("inverter.line", "line", kind="line")
    board.wire("line", "small.a", kind="line")
    board.wire("line", "switch.a", kind="line")
    board.wire("switch.b", "large.a", kind="line")
    board.wire("small.b", "neutral", kind="neutral")
    board.wire("large.b", "neutral", "y188", kind="neutral")
    board.wire("neutral", "inverter.neutral", kind="neutral")
    board.say(240, 208, "small,\nalways on", "middle")
    board.say(316, 208, "large", "end")
    board.say(4, 246, "read V and A, switch large on, read again")
    return board


def _source(board, x, y):
    """A battery with its fuse, and a voltmeter on the posts."""
    board.battery("battery", (x, y + 12), (x, y - 12))
    board.node("joint_minus", x, y + 22)
    board.node("joint_plus", x, y - 24)
    board.part("battery_fuse", "fuse", (x, y - 34), (x, y - 66), heavy=True)
    board.part("meter", "voltmeter", (x + 40, y + 16), (x + 40, y - 18))
    board.wire("battery.plus", "joint_plus")
    board.wire("joint_plus", "battery_fuse.a")
    board.wire("battery.minus", "joint_minus", kind="minus")
    board.wire("joint_plus", "meter.b", kind="signal")
    board.wire("joint_minus", "meter.a", kind="signal")
    board.say(x + 14, y - 46, "fuse")


@drawing(
    "millivolts-per-joint",
    "Millivolts across each piece",
    "From the battery's plus through fuse and isolator to the inverter, and back to its minus. Six places are marked for the meter's two leads, always on either side of one piece while a known current runs: "
    "one, plus post to lug; two, across the fuse; three, across the isolator; four, lug to the inverter's plus; five, the inverter's minus to its lug; six, lug to the battery's minus post.",
    "Millivolts over amps are milliohms. Measure across each piece while the load runs, the minus side too; do not subtract two large voltages from each other.",
)
def millivolts_per_joint():
    board = Board(250)
    board.battery("battery", (26, 160), (26, 136))
    board.part("battery_fuse", "fuse", (26, 104), (26, 70), heavy=True)
    board.switch("isolator", (96, 48), (130, 48), heavy=True)
    board.box("inverter", "inverter", 246, 24, 70, 186, "Inverter", {"plus": ("left", 24, "+"), "minus": ("left", 160, "−")})
    board.post("lug_plus", 26, 120)
    board.post("lug_minus", 26, 176)
    board.post("lug_in", 214, 48)
    board.post("lug_out", 214, 184)
    board.wire("battery.plus", "lug_plus")
    board.wire("lug_plus", "battery_fuse.a")
    board.wire("battery_fuse.b", "isolator.a", "y48")
    board.wire("isolator.b", "lug_in")
    board.wire("lug_in", "inverter.plus")
    board.wire("inverter.minus", "lug_out", kind="minus")
    board.wire("lug_out", "lug_minus", "x26", kind="minus")
    board.wire("lug_minus", "battery.minus", kind="minus")
    for number, x1, y1, x2, y2 in ((2, 40, 106, 40, 68), (1, 40, 134, 40, 114), (6, 40, 178, 40, 156), (3, 94, 62, 132, 62), (4, 208, 62, 242, 62), (5, 208, 196, 242, 196)):
        _across(board, number, x1, y1, x2, y2)
    board.say(113, 32, "isolator", "middle")
    board.say(74, 92, "fuse")
    board.say(74, 129, "post to lug")
    board.say(74, 172, "lug to post")
    board.say(4, 246, "mV over A gives mΩ, piece by piece")
    return board


def _across(board, number, x1, y1, x2, y2):
    """A meter's reach over one piece, with its number in a ring."""
    if x1 == x2:
        x, y = x1 + 20, (y1 + y2) / 2
        board.add(f'<path d="M{x1} {y1}H{x1 + 8}V{y2}H{x1}"/>')
    else:
        x, y = (x1 + x2) / 2, y1 + 20
        board.add(f'<path d="M{x1} {y1}V{y1 + 8}H{x2}V{y1}"/>')
    board.add(f'<circle class="paper" cx="{x}" cy="{y}" r="9"/>')
    board.say(x, y + 4.5, str(number), "middle", "inside")


@drawing(
    "standby-clamp",
    "What the inverter takes with nothing plugged in",
    "The battery feeds the inverter through its fuse; the inverter is on and nothing is plugged into its outlet. A voltmeter sits on the battery's posts. "
    "A current clamp, set to zero before on the same range, is closed around the plus cable alone: not around plus and minus together, which would read nothing.",
    "Volts times amps is the standby power. The clamp goes around one conductor only; a multimeter's ten-ampere range never goes in series, for the inverter's capacitors blow it.",
)
def standby_clamp():
    board = Board(226)
    _source(board, 24, 142)
    _clamp(board, 112, 54)
    board.say(112, 34, "clamp: A", "middle")
    board.say(112, 84, "plus alone", "middle")
    board.box("inverter", "inverter", 170, 36, 84, 158, "Inverter,\non", {"plus": ("left", 18, "+"), "minus": ("left", 142, "−")})
    board.wire("battery_fuse.b", "inverter.plus", "y54")
    board.wire("joint_minus", "inverter.minus", "y178", kind="minus")
    board.box("outlet", "outlet", 254, 90, 30, 44, "", {})
    board.add('<circle cx="269" cy="112" r="9"/><circle class="solid" cx="265.5" cy="112" r="1.5"/><circle class="solid" cx="272.5" cy="112" r="1.5"/>')
    board.say(316, 152, "nothing\nin it", "end")
    board.say(4, 220, "standby power = V times A")
    return board


@drawing(
    "rest-voltage",
    "Rest voltage",
    "A battery with its fuse; the isolator behind it is open, so that no inverter and no other load draws, and no charger is joined. "
    "A voltmeter's leads sit on the battery's two posts. The battery has rested so for hours before the reading.",
    "No load, no charge, and hours of rest: only then does the voltage tell how full a lead battery is. On lithium iron phosphate it tells little between its ends.",
)
def rest_voltage():
    board = Board(216)
    _source(board, 30, 142)
    board.switch("isolator", (106, 54), (144, 54), closed=False, heavy=True)
    board.box("inverter", "inverter", 226, 36, 88, 158, "Inverter\nand other\nloads: off", {"plus": ("left", 18, "+"), "minus": ("left", 142, "−")})
    board.wire("battery_fuse.b", "isolator.a", "y54")
    board.wire("isolator.b", "inverter.plus")
    board.wire("joint_minus", "inverter.minus", "y178", kind="minus")
    board.say(125, 30, "isolator open", "middle")
    board.say(96, 120, "hours of rest,\nno charger,\nthen read")
    return board
