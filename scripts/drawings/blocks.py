"""Groups of parts that several drawings share."""

from scripts.drawings.board import Part


def battery_and_fuse(board, x, y, name="battery", words="battery", side="right"):
    """A battery standing upright with the fuse right on its plus; the fuse's free end is `NAME_fuse.b`, 44 above `y`."""
    board.battery(name, (x, y + 24), (x, y))
    board.part(f"{name}_fuse", "fuse", (x, y - 8), (x, y - 42), heavy=True)
    board.wire(f"{name}.plus", f"{name}_fuse.a")
    shift, anchor = (15, "start") if side == "right" else (-15, "end")
    board.say(x + shift, y + 16, words, anchor)
    board.say(x + shift, y - 20, "fuse", anchor)


def residual_device(board, id, x, y, width, height, line, neutral):
    """A residual-current device with a breaker: both conductors pass through one ring."""
    ends = {"line_in": ("left", line - y, ""), "neutral_in": ("left", neutral - y, ""), "line_out": ("right", line - y, ""), "neutral_out": ("right", neutral - y, "")}
    board.box(id, "rcd", x, y, width, height, terminals=ends, joined={"": [("line_in", "line_out"), ("neutral_in", "neutral_out")]})
    middle, centre = x + width / 2, (line + neutral) / 2
    board.add(f'<path class="wire-line" d="M{x} {line}H{x + width}"/><path class="wire-neutral" d="M{x} {neutral}H{x + width}"/>')
    board.add(f'<ellipse cx="{middle}" cy="{centre}" rx="6" ry="{(neutral - line) / 2 + 7}"/>')


def person(board, id, x, y, hand=(20, 24), feet=62):
    """Somebody standing: head at the top, one hand out, feet on the ground; a current can go from hand to feet."""
    drawn = (
        f'<circle class="paper" cx="{x}" cy="{y + 7}" r="7"/><path d="M{x} {y + 14}V{y + 38}M{x} {y + 20}L{x + hand[0]} {y + hand[1]}'
        f'M{x} {y + 38}L{x - 8} {y + feet}M{x} {y + 38}L{x + 8} {y + feet}"/>'
    )
    board.enter(Part(id, "person", {"hand": (x + hand[0], y + hand[1]), "feet": (x + 8, y + feet)}, {"": [("hand", "feet")]}, drawn=drawn))


def cross(board, x, y, half):
    """A large cross over what must never be done."""
    board.add(f'<path class="never" d="M{x - half} {y - half}L{x + half} {y + half}M{x - half} {y + half}L{x + half} {y - half}"/>')
