"""From the battery to the inverter: what lies on the way, and what stands where."""

from calc.render import words
from scripts.drawings.blocks import battery_and_fuse
from scripts.drawings.board import Board
from scripts.drawings.registry import drawing
from scripts.drawings.values import answered, said


@drawing(
    "supply-path",
    "Where the volts go between battery and inverter",
    "A loop. The battery holds {rest} at rest and has a resistance of its own, drawn inside its case; under this load {battery} is lost there. "
    "From its plus post the current goes through the fuse right at the battery, the isolator and the cable out to the inverter, and by the cable back to the minus post. "
    "Cable out and back loses {cable}, the joints with fuse and isolator lose {joints}. At the inverter's terminals {inverter} is left.",
    "The same current runs through every piece, and each takes its share of the volts: here most is lost inside the battery. Values of the supply-path calculator's example.",
)
def supply_path():
    result = answered("supply-path")
    values = {"rest": words.input_likely(result.input("voltage_open_circuit")), "battery": said(result, "drop_battery", 2), "cable": said(result, "drop_cable", 2), "joints": said(result, "drop_joints", 2), "inverter": said(result, "voltage_inverter")}
    board = Board(250)
    board.battery("battery", (30, 196), (30, 172))
    board.part("inner", "resistor", (30, 164), (30, 130))
    board.post("post_plus", 30, 116)
    board.post("post_minus", 30, 222)
    board.frame(8, 123, 44, 92)
    board.part("fuse", "fuse", (30, 106), (30, 72), heavy=True)
    board.switch("isolator", (60, 50), (96, 50), heavy=True)
    board.part("cable_out", "resistor", (128, 50), (172, 50), heavy=True)
    board.part("cable_back", "resistor", (172, 222), (128, 222), heavy=True)
    board.box("inverter", "inverter", 232, 32, 82, 208, "Inverter\n" + values["inverter"] + "\nleft of\n" + values["rest"], {"plus": ("left", 18, "+"), "minus": ("left", 190, "−")})
    for ends in (("battery.plus", "inner.a"), ("inner.b", "post_plus"), ("post_plus", "fuse.a"), ("isolator.b", "cable_out.a"), ("cable_out.b", "inverter.plus")):
        board.wire(*ends)
    board.wire("fuse.b", "isolator.a", "y50")
    for ends in (("battery.minus", "post_minus"), ("post_minus", "cable_back.b"), ("cable_back.a", "inverter.minus")):
        board.wire(*ends, kind="minus")
    board.say(44, 92, "fuse")
    board.say(78, 30, "isolator", "middle")
    board.say(150, 30, "cable out", "middle")
    board.say(150, 244, "cable back", "middle")
    board.say(62, 164, f"inside the battery:\n{values['battery']} lost")
    board.say(92, 82, f"joints, fuse,\nisolator: {values['joints']}")
    board.say(92, 130, f"cable: {values['cable']}")
    return board, values


@drawing(
    "fuse-at-battery",
    "The fuse belongs at the battery",
    "Two drawings of the same loop of battery, cable and inverter, with the battery's minus on the vehicle's metal. Above, right: the fuse sits on the battery's plus post. "
    "Where the cable chafes on metal further on, the fault current runs from the battery through the fuse, so the fuse opens. "
    "Below, wrong: the fuse sits at the inverter. The fault current runs from the battery through the cable to the chafed place and back through the metal; it never passes the fuse, and nothing stops it.",
    "A fuse protects what comes after it, seen from the battery. Above, it opens when the cable chafes on metal; below, the same fault burns on.",
)
def fuse_at_battery():
    board = Board(330)
    _chafed(board, 0, "", 'Right: the fuse opens', right=True)
    _chafed(board, 166, "wrong_", "Wrong: nothing opens", right=False)
    return board


def _chafed(board, top, name, verdict, right):
    board.say(4, top + 14, verdict, "start", "strong")
    battery, fuse = f"{name}battery", f"{name}fuse"
    board.battery(battery, (24, top + 112), (24, top + 88))
    board.say(40, top + 106, "battery")
    ends = ((24, top + 80), (24, top + 48)) if right else ((196, top + 34), (228, top + 34))
    board.part(fuse, "fuse", *ends, heavy=True)
    board.say(*((40, top + 68) if right else (212, top + 60)), "fuse", "start" if right else "middle")
    board.box(f"{name}inverter", "inverter", 246, top + 22, 70, 118, "Inverter", {"plus": ("left", 12, "+"), "minus": ("left", 108, "−")})
    chafe = f"{name}chafe"
    board.node(chafe, 150, top + 34)
    board.node(f"{name}metal", 150, top + 130)
    for x, id in ((24, "body"), (216, "body_end")):
        board.node(f"{name}{id}", x, top + 130)
    board.chassis(f"{name}chassis", 84, top + 140)
    board.node(f"{name}body_chassis", 84, top + 130)
    if right:
        board.wire(f"{battery}.plus", f"{fuse}.a", mark="fault")
        board.wire(f"{fuse}.b", chafe, f"y{top + 34}", mark="fault")
        board.wire(chafe, f"{name}inverter.plus")
    else:
        board.wire(f"{battery}.plus", chafe, f"y{top + 34}", mark="fault")
        board.wire(chafe, f"{fuse}.a")
        board.wire(f"{fuse}.b", f"{name}inverter.plus")
    board.wire(chafe, f"{name}metal", kind="signal", mark="fault")
    board.say(158, top + 92, "chafed", "start")
    board.wire(f"{name}metal", f"{name}body_chassis", kind="minus", mark="fault")
    board.wire(f"{name}body_chassis", f"{name}body", kind="minus", mark="fault")
    board.wire(f"{name}body", f"{battery}.minus", kind="minus", mark="fault")
    board.wire(f"{name}metal", f"{name}body_end", kind="minus")
    board.wire(f"{name}body_end", f"{name}inverter.minus", kind="minus")
    board.wire(f"{name}body_chassis", f"{name}chassis", kind="minus")
    board.say(104, top + 150, "vehicle's metal")


@drawing(
    "isolator-and-fuse",
    "Fuse, isolator and pre-charge",
    "From the battery's plus the current passes the fuse first, then the isolator, then the inverter's plus. "
    "Beside the isolator, in parallel with it, lies a push button in series with a resistor: pressed for some seconds before the isolator is closed, it fills the inverter's capacitors gently, without a spark. "
    "The minus goes from the battery straight to the inverter.",
    "Order of switching on: pre-charge, isolator, inverter. Off: the inverter first, so that the isolator never breaks its current. Fuse and isolator must be made for the battery's highest DC voltage.",
)
def isolator_and_fuse():
    board = Board(226)
    battery_and_fuse(board, 24, 158)
    board.node("before", 62, 92)
    board.node("after", 186, 92)
    board.switch("isolator", (104, 92), (142, 92), closed=False, heavy=True)
    board.switch("button", (76, 46), (106, 46), closed=False, kind="button")
    board.part("precharge", "resistor", (126, 46), (162, 46))
    board.box("inverter", "inverter", 222, 62, 94, 148, "Inverter", {"plus": ("left", 30, "+"), "minus": ("left", 134, "−")})
    board.wire("battery_fuse.b", "before", "y92")
    board.wire("before", "isolator.a")
    board.wire("isolator.b", "after")
    board.wire("after", "inverter.plus")
    board.wire("before", "button.a", "y46", kind="line")
    board.wire("button.b", "precharge.a", kind="line")
    board.wire("precharge.b", "after", "x186", kind="line")
    board.wire("battery.minus", "inverter.minus", "y196", kind="minus")
    board.say(124, 22, "pre-charge: button, resistor", "middle")
    board.say(124, 116, "isolator", "middle")
    board.say(120, 148, "1 pre-charge\n2 isolator\n3 inverter")
    return board
