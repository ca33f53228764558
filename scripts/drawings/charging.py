"""Putting it back: from the engine, the sun and a generator."""

from scripts.drawings.blocks import cross
from scripts.drawings.board import Board
from scripts.drawings.registry import drawing


@drawing(
    "split-charge",
    "Charging from the engine through a relay",
    "On the left the vehicle's alternator and starter battery, joined as the vehicle's maker did it. From the starter battery's plus a cable runs through a fuse right there, through a relay that closes while the engine charges, and through a second fuse at the house battery's plus. "
    "All minus sides are on the vehicle's metal. The cable lies between two batteries, so it has a fuse at both ends.",
    "A cable between two batteries can be fed from either end, so it is fused at both. The relay joins the batteries only while the engine charges.",
)
def split_charge():
    board = _engine()
    board.switch("relay", (176, 44), (210, 44), closed=False, kind="relay", heavy=True)
    board.wire("body_chassis", "body_house", kind="minus")
    board.wire("starter_fuse.b", "relay.a")
    board.wire("relay.b", "house_fuse.b", "x276")
    board.say(193, 68, "relay", "middle")
    return board


@drawing(
    "dc-dc-charge",
    "Charging from the engine through a DC–DC charger",
    "On the left the vehicle's alternator and starter battery. From the starter battery's plus a cable runs through a fuse right there to the input of a DC–DC charger, and from its output through a second fuse at the house battery's plus. "
    "A thin dotted wire tells the charger that the engine runs. All minus sides are on the vehicle's metal.",
    "The charger limits the current and gives the house battery its own charging voltage. Both cables end at a battery, and each has its fuse at that end.",
)
def dc_dc_charge():
    board = _engine()
    board.box("charger", "charger", 166, 28, 70, 62, "DC–DC\ncharger", {"in": ("left", 16, ""), "out": ("right", 16, ""), "signal": ("bottom", 10, ""), "minus": ("bottom", 36, "")})
    board.wire("starter_fuse.b", "charger.in")
    board.wire("charger.out", "house_fuse.b", "x276")
    board.node("body_charger", 202, 178)
    board.wire("charger.minus", "body_charger", kind="minus")
    board.wire("body_chassis", "body_charger", kind="minus")
    board.wire("body_charger", "body_house", kind="minus")
    board.post("signal", 176, 112)
    board.wire("charger.signal", "signal", kind="signal")
    board.say(168, 107, "engine\nruns", "end")
    return board


def _engine():
    """Alternator, both batteries and their fuses; the minus rail is left open between chassis and house battery."""
    board = Board(226)
    board.part("alternator", "alternator", (22, 146), (22, 110), names=("minus", "plus"))
    board.battery("starter", (110, 140), (110, 116))
    board.node("joint", 110, 44)
    board.part("starter_fuse", "fuse", (122, 44), (154, 44), heavy=True)
    board.battery("house", (276, 140), (276, 116))
    board.part("house_fuse", "fuse", (276, 106), (276, 72), heavy=True)
    for id, x in (("body_alternator", 22), ("body_starter", 110), ("body_chassis", 150), ("body_house", 276)):
        board.node(id, x, 178)
    board.chassis("chassis", 150, 190)
    board.wire("alternator.plus", "joint", "y44")
    board.wire("starter.plus", "joint")
    board.wire("joint", "starter_fuse.a")
    board.wire("house.plus", "house_fuse.a")
    for part, id in (("alternator", "body_alternator"), ("starter", "body_starter"), ("house", "body_house")):
        board.wire(f"{part}.minus", id, kind="minus")
    for one, other in (("body_alternator", "body_starter"), ("body_starter", "body_chassis"), ("body_chassis", "chassis")):
        board.wire(one, other, kind="minus")
    board.say(138, 68, "fuse", "middle")
    board.say(290, 94, "fuse")
    board.say(36, 132, "alternator")
    board.say(123, 136, "starter\nbattery")
    board.say(262, 134, "house\nbattery", "end")
    board.say(170, 210, "vehicle's metal")
    return board


@drawing(
    "solar-charge",
    "Charging from the sun",
    "The panel's plus and minus go through an isolator of two poles, made for DC, to the charge controller's panel terminals. "
    "The controller's battery terminals go to the battery: plus through a fuse right at the battery, minus direct. The inverter is not joined to the controller, but to the battery with a fuse of its own.",
    "Join the battery to the controller first and the panel last; take them off the other way round. A panel gives its voltage whenever there is light.",
)
def solar_charge():
    board = Board(236)
    board.part("panel", "panel", (30, 140), (30, 84), names=("minus", "plus"))
    board.switch("isolator_plus", (64, 56), (96, 56), closed=False, kind="isolator")
    board.switch("isolator_minus", (64, 172), (96, 172), closed=False, kind="isolator")
    board.add('<path class="shaft" d="M81 50V166"/>')
    board.box("controller", "charger", 132, 38, 86, 152, "Charge\ncontroller", {"panel_plus": ("left", 18, "+"), "panel_minus": ("left", 134, "−"), "plus": ("right", 18, "+"), "minus": ("right", 134, "−")})
    board.battery("battery", (290, 144), (290, 120))
    board.part("battery_fuse", "fuse", (290, 110), (290, 76), heavy=True)
    board.wire("panel.plus", "isolator_plus.a", "y56")
    board.wire("isolator_plus.b", "controller.panel_plus")
    board.wire("panel.minus", "isolator_minus.a", "y172", kind="minus")
    board.wire("isolator_minus.b", "controller.panel_minus", kind="minus")
    board.wire("battery.plus", "battery_fuse.a")
    board.wire("battery_fuse.b", "controller.plus", "y56")
    board.wire("battery.minus", "controller.minus", "y172", kind="minus")
    board.say(4, 194, "panel")
    board.say(86, 32, "DC isolator, 2 poles", "middle")
    board.say(276, 98, "fuse", "end")
    board.say(276, 136, "battery", "end")
    board.say(160, 226, "battery first, panel last", "middle")
    return board


@drawing(
    "generator-charge",
    "Charging from a generator",
    "Outside, away from openings, a generator; its lead of line, neutral and earth goes to a battery charger only. The charger's plus goes through a fuse of its own to a common point behind the battery's main fuse, its minus to the battery's minus. "
    "The inverter is fed from the same point through an isolator. A dotted line from the inverter back to the charger is crossed out: the inverter never feeds its own battery's charger. A carbon monoxide alarm is inside.",
    "The charger decides how fast it goes, not the generator. The charger hangs on the generator alone, never on the inverter; a generator that feeds fixed outlets is licensed work.",
)
def generator_charge():
    board = Board(300)
    board.box("generator", "generator", 6, 40, 94, 56, "Generator", {"line": ("right", 14, ""), "neutral": ("right", 28, ""), "earth": ("right", 42, "")})
    board.box("charger", "charger", 152, 40, 84, 56, "Charger", {"line": ("left", 14, ""), "neutral": ("left", 28, ""), "earth": ("left", 42, ""), "plus": ("bottom", 22, "+"), "minus": ("bottom", 60, "−")}, base=66)
    board.add('<path class="frame" d="M112 8V100"/>')
    board.part("charger_fuse", "fuse", (174, 114), (174, 146), heavy=True)
    board.node("common", 174, 172)
    board.node("return", 212, 276)
    board.battery("battery", (150, 252), (150, 228))
    board.part("battery_fuse", "fuse", (150, 220), (150, 186), heavy=True)
    board.switch("isolator", (230, 172), (262, 172), heavy=True)
    board.box("inverter", "inverter", 246, 206, 70, 84, "Inverter", {"plus": ("top", 30, "+"), "minus": ("left", 70, "−")})
    for name in ("line", "neutral", "earth"):
        board.wire(f"generator.{name}", f"charger.{name}", kind=name)
    board.wire("charger.plus", "charger_fuse.a")
    board.wire("charger_fuse.b", "common")
    board.wire("battery.plus", "battery_fuse.a")
    board.wire("battery_fuse.b", "common", "y172")
    board.wire("common", "isolator.a")
    board.wire("isolator.b", "inverter.plus", "x276")
    board.wire("charger.minus", "return", kind="minus")
    board.wire("battery.minus", "return", "y276", kind="minus")
    board.wire("return", "inverter.minus", kind="minus")
    board.add('<path class="frame" d="M304 206V68H236"/>')
    cross(board, 304, 120, 11)
    board.say(4, 14, "outside, away\nfrom openings")
    board.say(120, 20, "inside: CO alarm fitted")
    board.say(160, 136, "fuse", "end")
    board.say(138, 208, "fuse", "end")
    board.say(138, 246, "battery", "end")
    board.say(236, 156, "isolator")
    board.say(300, 96, "never", "end", "strong")
    return board
