"""How the inverter is joined to the appliances and the mains: ways to do it, and one never to."""

from scripts.drawings.blocks import battery_and_fuse, cross, person, residual_device
from scripts.drawings.board import Board
from scripts.drawings.registry import drawing

LICENSED = "fixed 120 or 230 V: licensed work"


@drawing(
    "plug-in",
    "Plugged straight into the inverter",
    "The battery's plus goes through a fuse right at the battery and an isolator to the inverter; its minus goes back direct. "
    "The appliance is plugged into the inverter's own outlet with its own lead of line, neutral and earth. "
    "No wall outlet, no inlet and no other source is joined to it.",
    "The appliance plugs into the inverter itself. No other source can reach that outlet, and nothing is wired at 120 or 230 V. As soon as something is fixed there, it is licensed work.",
)
def plug_in():
    board = Board(208)
    battery_and_fuse(board, 24, 130)
    board.switch("isolator", (42, 52), (78, 52), heavy=True)
    board.box("inverter", "inverter", 104, 34, 92, 138, "Inverter", {"plus": ("left", 18, "+"), "minus": ("left", 124, "−"), "line": ("right", 44, "L"), "neutral": ("right", 69, "N"), "earth": ("right", 94, "E")}, base=60)
    board.box("appliance", "appliance", 246, 62, 70, 82, "", {"line": ("left", 16, "L"), "neutral": ("left", 41, "N"), "earth": ("left", 66, "E")})
    board.say(281, 160, "appliance", "middle")
    board.wire("battery_fuse.b", "isolator.a", "y52")
    board.wire("isolator.b", "inverter.plus")
    board.wire("battery.minus", "inverter.minus", "y158", kind="minus")
    for name in ("line", "neutral", "earth"):
        board.wire(f"inverter.{name}", f"appliance.{name}", kind=name)
    board.say(60, 36, "isolator", "middle")
    board.say(221, 54, "lead", "middle")
    board.say(160, 192, "fixed outlets, 120 or 230 V: licensed work", "middle")
    return board


@drawing(
    "changeover",
    "A changeover switch for two sources",
    "The site's supply and the inverter each bring line and neutral to a changeover switch of two poles with an off position between. "
    "From the switch's common side line and neutral go on together through the RCD with its breaker to the outlets. "
    "Line and neutral change over at the same time, so that the two sources never meet. Each source has its own neutral-earth link, on its own side of the switch: "
    "since the neutral is switched too, exactly one link reaches the outlets in either position, and none with the switch off. "
    "Earth is not switched: it joins supply, inverter, outlets and the vehicle's metal all the time.",
    "Both poles change over together, with off between, so the sources cannot meet. The outlets see one neutral–earth link at a time, ahead of the RCD. Earth is never switched. All of it is licensed work.",
)
def changeover():
    board = Board(306, ("mains", "off", "inverter"))
    source = {"line": ("right", 20, "L"), "neutral": ("right", 50, "N"), "earth": ("left", 50, "E")}
    board.box("supply", "supply", 22, 34, 78, 70, "Site\nsupply", source, base=50)
    board.box("inverter", "inverter", 22, 176, 78, 70, "Inverter", source, base=200)
    board.link("supply_link", "supply")
    board.link("inverter_link", "inverter")
    board.changeover("switch", {"line": (186, 68), "neutral": (186, 152)}, ("mains", "inverter"), "mains")
    residual_device(board, "rcd", 212, 46, 34, 128, 68, 152)
    board.box("outlets", "outlet", 272, 46, 40, 128, "", {"line": ("left", 22, "L"), "neutral": ("left", 106, "N"), "earth": ("bottom", 20, "E")})
    board.wire("supply.line", "switch.line_mains", kind="line")
    board.wire("supply.neutral", "switch.neutral_mains", "x112", "y138", kind="neutral")
    board.wire("inverter.line", "switch.line_inverter", "x124", "y82", kind="line")
    board.wire("inverter.neutral", "switch.neutral_inverter", "x138", "y166", kind="neutral")
    for name in ("line", "neutral"):
        board.wire(f"switch.{name}_common", f"rcd.{name}_in", kind=name)
        board.wire(f"rcd.{name}_out", f"outlets.{name}", kind=name)
    board.node("bus_left", 10, 278)
    board.node("bus_right", 292, 278)
    board.chassis("chassis", 160, 288)
    board.node("bus_middle", 160, 278)
    board.wire("supply.earth", "bus_left", "x10", kind="earth")
    board.wire("inverter.earth", "bus_left", "x10", kind="earth")
    board.wire("bus_left", "bus_middle", kind="earth")
    board.wire("bus_middle", "bus_right", kind="earth")
    board.wire("bus_right", "outlets.earth", kind="earth")
    board.wire("bus_middle", "chassis", kind="earth")
    board.frame(106, 20, 212, 214)
    board.say(160, 14, LICENSED, "middle", "strong")
    board.say(150, 44, "I", "middle")
    board.say(150, 102, "II", "middle")
    board.say(150, 188, "changeover,\n2 poles,\noff between")
    board.say(232, 192, "RCD and\nbreaker")
    board.say(292, 40, "outlets", "middle")
    board.say(180, 302, "vehicle's metal")
    return board


@drawing(
    "combined",
    "A combined inverter-charger",
    "The site's supply brings line and neutral to the unit's input. Inside, a relay of two poles stands between input and output, drawn open: the unit is running from the battery. "
    "The inverter and charger block is always joined to the output. A second relay joins the output's neutral to earth only while the first one is open, so that exactly one neutral-earth link is there either way: "
    "the supply's while its power passes through, the unit's own while it makes power. The output goes through the RCD with its breaker to the outlets. "
    "Below, the block is joined to the battery, with a fuse right at the battery's plus and an isolator. Earth runs through unswitched.",
    "With mains, both poles of the transfer relay are closed, the link relay is open and the unit charges. Without mains, the transfer relay opens and only then the link closes. Drawn without mains. All fixed wiring at 120 or 230 V is licensed work.",
)
def combined():
    board = Board(380, ("mains", "inverting"))
    board.box("supply", "supply", 18, 50, 62, 72, "", {"line": ("right", 14, "L"), "neutral": ("right", 50, "N"), "earth": ("left", 50, "E")})
    board.link("supply_link", "supply")
    board.box("unit", "unit", 92, 40, 150, 166)
    board.switch("transfer_line", (106, 64), (142, 64), closed=False, kind="relay")
    board.switch("transfer_neutral", (106, 100), (142, 100), closed=False, kind="relay")
    for pole in ("transfer_line", "transfer_neutral"):
        board.parts[pole].joined = {"mains": [("a", "b")]}
    board.add('<path class="shaft" d="M124 58V94"/>')
    board.box("block", "inverter", 100, 146, 70, 44, "Inverter,\ncharger", {"line": ("top", 50, ""), "neutral": ("top", 64, ""), "plus": ("bottom", 18, ""), "minus": ("bottom", 42, "")})
    board.node("out_line", 150, 64)
    board.node("out_neutral", 164, 100)
    board.node("link_neutral", 194, 100)
    board.switch("unit_link", (194, 112), (194, 144), closed=True, kind="link")
    board.parts["unit_link"].joined = {"inverting": [("a", "b")]}
    residual_device(board, "rcd", 246, 46, 26, 72, 64, 100)
    board.box("outlets", "outlet", 288, 46, 28, 88, "", {"line": ("left", 18, "L"), "neutral": ("left", 54, "N"), "earth": ("bottom", 14, "E")})
    board.wire("supply.line", "transfer_line.a", kind="line")
    board.wire("supply.neutral", "transfer_neutral.a", kind="neutral")
    board.wire("transfer_line.b", "out_line", kind="line")
    board.wire("transfer_neutral.b", "out_neutral", kind="neutral")
    board.wire("out_line", "block.line", kind="line")
    board.wire("out_neutral", "block.neutral", kind="neutral")
    board.wire("out_line", "rcd.line_in", kind="line")
    board.wire("out_neutral", "link_neutral", kind="neutral")
    board.wire("link_neutral", "rcd.neutral_in", kind="neutral")
    board.wire("link_neutral", "unit_link.a", kind="neutral")
    for name in ("line", "neutral"):
        board.wire(f"rcd.{name}_out", f"outlets.{name}", kind=name)
    battery_and_fuse(board, 118, 314, side="left")
    board.switch("isolator", (118, 262), (118, 226), heavy=True)
    board.wire("battery_fuse.b", "isolator.a")
    board.wire("isolator.b", "block.plus")
    board.wire("block.minus", "battery.minus", "y338", kind="minus")
    for x, id in ((8, "bus_left"), (194, "bus_unit"), (302, "bus_right"), (262, "bus_chassis")):
        board.node(id, x, 356)
    board.wire("supply.earth", "bus_left", "x8", kind="earth")
    board.wire("bus_left", "bus_unit", kind="earth")
    board.wire("bus_unit", "unit_link.b", kind="earth")
    board.wire("bus_unit", "bus_chassis", kind="earth")
    board.wire("bus_chassis", "bus_right", kind="earth")
    board.wire("bus_right", "outlets.earth", kind="earth")
    board.chassis("chassis", 262, 366)
    board.wire("bus_chassis", "chassis", kind="earth")
    board.say(160, 14, LICENSED, "middle", "strong")
    board.say(94, 34, "transfer relay, 2 poles", "start")
    board.say(46, 139, "site\nsupply", "middle")
    board.say(104, 246, "isolator", "end")
    board.say(205, 126, "link\nrelay")
    board.say(266, 160, "RCD,\nbreaker", "middle")
    board.say(318, 34, "outlets", "end")
    board.say(256, 346, "metal body", "middle")
    return board


@drawing(
    "back-feed",
    "Never: an inverter into a wall outlet",
    "A wrong arrangement, crossed out. A lead with a plug at both ends runs from the inverter's outlet into a wall outlet of the vehicle. "
    "From there the fixed wiring makes the pins of the vehicle's inlet live, where somebody is about to touch them, "
    "and where the site's lead may bring a second source at any moment, with nothing between the two.",
    "Never a lead with a plug at both ends, and never an inverter into an outlet or an inlet. Bare pins become live, two sources can meet, and a line worker can be killed.",
)
def back_feed():
    board = Board(250)
    board.box("inverter", "inverter", 6, 66, 78, 76, "Inverter", {"line": ("right", 22, "L"), "neutral": ("right", 54, "N")}, base=108)
    board.box("outlet", "outlet", 164, 66, 52, 76, "", {"line": ("left", 22, "L"), "neutral": ("left", 54, "N"), "line_out": ("right", 22, ""), "neutral_out": ("right", 54, "")}, {"": [("line", "line_out"), ("neutral", "neutral_out")]})
    for name in ("line", "neutral"):
        board.wire(f"inverter.{name}", f"outlet.{name}", kind=name, mark="fault")
    board.post("pin_line", 280, 88)
    board.post("pin_neutral", 280, 120)
    board.wire("outlet.line_out", "pin_line", kind="line", mark="fault")
    board.wire("outlet.neutral_out", "pin_neutral", kind="neutral", mark="fault")
    person(board, "person", 302, 112, hand=(-17, 10), feet=74)
    board.open |= {"person.hand", "person.feet"}
    cross(board, 124, 104, 30)
    board.say(124, 32, "NEVER", "middle", "strong")
    board.say(124, 50, "plug at both ends", "middle")
    board.say(190, 160, "wall\noutlet", "middle")
    board.say(316, 58, "bare pins of\nthe inlet: live", "end")
    board.say(4, 206, "If the site's lead is plugged in, its supply\nmeets the inverter: no switch is between.")
    return board


@drawing(
    "two-inverters",
    "A small inverter for always, a large one on demand",
    "The battery's plus goes through a main fuse right at the battery to a common plus point, and from there by a fuse each to a small and to a large inverter; both minus leads go back to the battery. "
    "The small inverter feeds a few outlets of its own and stays on; the large one feeds an outlet of its own, such as the kettle's, and is switched on only for it. Their outputs are not joined anywhere.",
    "Only the small one's standby runs day and night. The two outputs never meet: each has outlets of its own. As soon as those are fixed at 120 or 230 V, it is licensed work.",
)
def two_inverters():
    board = Board(262)
    battery_and_fuse(board, 24, 178)
    board.node("common", 72, 92)
    board.node("return", 124, 188)
    board.part("small_fuse", "fuse", (84, 48), (114, 48), heavy=True)
    board.part("large_fuse", "fuse", (84, 148), (114, 148), heavy=True)
    for id, y, words, use in (("small", 30, "Small,\nalways on", "small\nthings"), ("large", 130, "Large,\non demand", "kettle")):
        board.box(id, "inverter", 134, y, 84, 74, words, {"plus": ("left", 18, "+"), "minus": ("left", 58, "−"), "line": ("right", 18, ""), "neutral": ("right", 38, ""), "earth": ("right", 58, "")}, base=y + 34)
        board.box(f"{id}_use", "appliance", 258, y, 58, 74, use, {"line": ("left", 18, ""), "neutral": ("left", 38, ""), "earth": ("left", 58, "")})
        board.wire(f"{id}_fuse.b", f"{id}.plus")
        for name in ("line", "neutral", "earth"):
            board.wire(f"{id}.{name}", f"{id}_use.{name}", kind=name)
    board.wire("battery_fuse.b", "common", "y92")
    board.wire("common", "small_fuse.a", "y48")
    board.wire("common", "large_fuse.a", "y148")
    board.wire("battery.minus", "return", "y228", "x124", kind="minus")
    board.wire("return", "small.minus", "y88", kind="minus")
    board.wire("return", "large.minus", kind="minus")
    board.say(96, 32, "fuse", "middle")
    board.say(96, 174, "fuse", "middle")
    board.say(160, 254, "outputs never joined", "middle", "strong")
    return board
