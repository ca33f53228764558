"""Joints, gas and heat: where things sit, in section."""

from calc.render import words
from scripts.drawings.board import Board
from scripts.drawings.registry import drawing
from scripts.drawings.values import answered, said


def _box(x, y, width, height, kind="box"):
    return f'<rect class="{kind}" x="{x}" y="{y}" width="{width}" height="{height}"/>'


def _hatch(x, y, width, height, step=7):
    """Slanting strokes inside a rectangle: metal, cut through."""
    strokes = []
    for start in range(-height, width, step):
        x1, y1 = (x + start, y + height) if start >= 0 else (x, y + height + start)
        x2, y2 = (x + start + height, y) if start + height <= width else (x + width, y + height - (width - start))
        strokes.append(f"M{x1} {y1}L{x2} {y2}")
    return f'<path d="{"".join(strokes)}"/>'


@drawing(
    "joint-good-and-bad",
    "A good joint and a bad one",
    "Two bolted joints cut through. Left, good: the cable's lug lies flat on the battery post's face, bare metal on bare metal over the whole face; a washer, a spring washer and the nut press from above. "
    "The current goes straight from post to lug. Right, bad: washers lie between post and lug, so that the current must pass through thin steel and its small faces; the joint loses volts and gets hot.",
    "Lug on post, face to face; washers and nut on top of both. A washer between them puts steel and two more faces into the current's way.",
)
def joint():
    board = Board(252)
    for x, order in ((10, ("lug", "washer", "spring", "nut")), (166, ("washer", "spring", "lug", "nut"))):
        board.add(_box(x + 22, 176, 92, 34) + _hatch(x + 22, 176, 92, 34))
        board.add(f'<rect class="paper" x="{x + 60}" y="60" width="16" height="150"/>')
        y = 176
        for piece in order:
            y = _piece(board, piece, x, y)
    board.say(78, 20, "good", "middle", "strong")
    board.say(234, 20, "bad", "middle", "strong")
    board.say(78, 38, "lug on the post", "middle")
    board.say(234, 38, "washers between", "middle")
    board.say(78, 228, "post", "middle")
    board.say(234, 228, "post", "middle")
    board.say(160, 246, "the thick bar is the lug", "middle")
    return board


def _piece(board, piece, x, y):
    """One piece on the bolt; returns the height of its upper face."""
    height, left, width = {"lug": (16, x + 22, 130), "washer": (7, x + 40, 56), "spring": (9, x + 48, 40), "nut": (26, x + 42, 52)}[piece]
    y -= height
    kind = "solid" if piece == "lug" else "paper"
    board.add(f'<rect class="{kind}" x="{left}" y="{y}" width="{width}" height="{height}"/>')
    if piece == "spring":
        board.add(f'<path d="M{left + 14} {y + height}L{left + 26} {y}"/>')
    if piece == "nut":
        board.add(f'<path d="M{left + 15} {y}v{height}M{left + 37} {y}v{height}"/>')
    return y


@drawing(
    "hydrogen-places",
    "Where hydrogen gathers, and how it gets out",
    "A box with a lead battery, cut through. Gas leaves the battery's vents while it charges, rises because it is lighter than air, and gathers under the lid. "
    "An opening at the bottom of one side lets fresh air in, an opening at the very top of the other side lets the gas out to the open air. "
    "Fuse, switch, charger and inverter, which can spark, stand outside the box, below and away from the upper opening.",
    "In low, out high, to the open air and not into a living space. A pocket under a lid above the outlet stays full of gas. Nothing that can spark is inside or near the outlet.",
)
def hydrogen_places():
    board = Board(256)
    board.add('<path class="blade" d="M44 60V40H214V45M214 67V218H44V196M44 174V60"/>')
    board.add(_box(76, 140, 108, 66))
    board.add('<path d="M96 140v-8h16v8M148 140v-8h16v8"/>')
    for x, y in ((98, 112), (110, 88), (120, 66), (152, 112), (144, 88), (160, 66), (176, 54), (192, 58), (90, 58)):
        board.add(f'<circle class="paper" cx="{x}" cy="{y}" r="3.5"/>')
    board.add('<path class="blade" d="M8 185H60M52 179l8 6l-8 6M200 56H262M254 50l8 6l-8 6"/>')
    board.add(_box(242, 140, 72, 66))
    board.say(130, 178, "lead battery", "middle")
    board.say(278, 170, "what can\nspark", "middle")
    board.say(130, 28, "gas gathers under the lid", "middle")
    board.say(318, 80, "out, high", "end")
    board.say(2, 240, "in, low")
    board.say(316, 240, "apart from the outlet", "end")
    return board


@drawing(
    "heat-box",
    "Heat in a locker",
    "An inverter in a locker, cut through. At {power} of output it turns {loss} into heat. With the locker closed, the air inside settles about {rise} above the air outside; "
    "with an opening low on one side and one high on the other, cool air comes in low, passes the inverter and leaves warm at the top: {airflow} of air hold the rise to {wanted}. "
    "The fan's side and the vents are free; nothing lies on top.",
    "Cool air in low, warm air out high, both larger than they look needed, and nothing stored on or around it. Values of the heat calculator's example.",
)
def heat_box():
    result = answered("heat")
    values = {"power": words.input_likely(result.input("power_ac")), "loss": said(result, "loss_heat", 2), "rise": said(result, "temperature_rise", 2), "airflow": said(result, "airflow_for_rise", 2), "wanted": words.input_likely(result.input("rise_wanted"))}
    board = Board(256)
    board.add('<path class="blade" d="M44 60V40H276V46M276 72V214H44V192M44 166V60"/>')
    board.add(_box(92, 120, 128, 66))
    board.add('<path d="M104 130v46M112 130v46M120 130v46"/>')
    board.add('<path class="blade" d="M8 179H78M70 173l8 6l-8 6M232 59H312M304 53l8 6l-8 6"/>')
    for x in (120, 156, 192):
        board.add(f'<path d="M{x} 112c-6 -7 6 -10 0 -17M{x - 4} 99l4 -5l4 5"/>')
    board.say(170, 150, "Inverter", "middle")
    board.say(170, 168, f"{values['loss']} heat", "middle")
    board.say(160, 78, "nothing on top", "middle")
    board.say(4, 236, f"closed: {values['rise']} hotter than outside")
    board.say(4, 252, f"with {values['airflow']} of air: {values['wanted']}")
    board.say(4, 158, "cool", "start")
    board.say(318, 88, "warm", "end")
    return board, values
