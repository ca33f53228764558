"""Lesson 10: where to stop. A stop is never a matter of numbers, and never negotiated."""

from calc.exercises.items import Choice, Faults, Line, Option
from calc.exercises.templates import template

# Each: what happens; what to do; and what tempts, with why it is wrong.
_SITUATIONS = (
    (
        "A customer feels a tingle when touching the van and standing on wet ground.",
        "Stop: unplug the supply, touch no metal and ground together, and have it tested by a licensed person.",
        (
            ("Dry the ground and try again.", "Then the fault is still there, and the next wet day may kill."),
            ("It is static: earth the van with a rod.", "A steady tingle is a fault until shown otherwise, and a rod does not cure it."),
            ("Turn the plug round in its socket.", "That moves the fault; it does not remove it."),
        ),
    ),
    (
        "A customer wants a lead with a plug on each end, to feed the van from the inverter.",
        "Refuse: bare pins would be live. Offer a plug-in arrangement, or a changeover by a licensed person.",
        (
            ("Make one, with a note never to use it on shore power.", "Notes are forgotten. The pins are live whenever one end is plugged in."),
            ("Make one with a switch in the middle.", "The switch does not cover the pins."),
            ("Lend one for this weekend.", "One weekend is enough."),
        ),
    ),
    (
        "The breaker by the door trips again and again. The customer asks how to wire past it.",
        "Never past it: unplug everything, reset it once; if it trips again, a licensed person looks for the fault.",
        (
            ("Fit a larger breaker.", "The cable behind it then burns first."),
            ("Hold it in for as long as the kettle takes.", "It opens because something is wrong."),
            ("Take out the residual-current device: inverters do not like it.", "Removing protection is a stop, whatever the reason given."),
        ),
    ),
    (
        "A customer plans to plug the inverter into a wall socket, to have power in all the rooms.",
        "Never: two supplies may meet, and it feeds back into the street. A changeover that keeps sources apart is licensed work.",
        (
            ("Do it with the main switch off.", "Nothing then keeps the two apart but memory. People working on the line have died of it."),
            ("Do it with the inverter that gives a sine.", "A sine does not wait for the other supply, and does not part from it."),
            ("Do it at night, when nobody works on the line.", "Nobody knows that."),
        ),
    ),
    (
        "In a hut the wiring behind the socket of the fixed installation feels warm.",
        "Switch off and leave it closed: fixed wiring is licensed work.",
        (
            ("Open the socket and tighten its screws with the power off.", "Fixed mains wiring stays closed to all but a licensed person."),
            ("Measure it with the multimeter first.", "No meter goes into fixed mains wiring here."),
            ("Use another socket of the same wire.", "The fault may be in the wire."),
        ),
    ),
    (
        "A lithium battery is swollen and warm, and nothing is switched on.",
        "Keep away: no charging, no load, air and distance; if it hisses or smells, leave and call the fire service.",
        (
            ("Discharge it through a lamp.", "A damaged battery is not worked at all."),
            ("Charge it slowly, so that it recovers.", "Charging a damaged battery can set it on fire."),
            ("Press it flat, and strap it down.", "Pressure on a swollen battery may open it."),
        ),
    ),
    (
        "A caravan from abroad, with sockets for 120 V, is to be used on 230 V.",
        "Stop at the inlet: its wiring, breakers and bonding were made for another system; a licensed person decides.",
        (
            ("Fit a plug of the country.", "The plug is the least of it: everything behind it is for another voltage."),
            ("Use it with an adaptor for shavers.", "Such an adaptor carries a few watts."),
            ("Run its heaters for half the time.", "At twice the voltage they give four times the power."),
        ),
    ),
    (
        "The customer wants the link between neutral and earth taken out, because it trips the device at the campsite.",
        "Do not touch it: where it belongs depends on the country and the system, and is licensed design.",
        (
            ("Take it out: without it nothing trips.", "Without it a residual-current device may not see a fault at all."),
            ("Put a switch into it.", "A bond that can be opened by hand is no bond."),
            ("Put a second one at the inverter.", "One for each system, and where is not decided here."),
        ),
    ),
    (
        "A customer sleeps in a van with a generator running outside, below the window.",
        "Off, at once: far from any opening, and an alarm for carbon monoxide where people sleep.",
        (
            ("Close the window.", "The gas comes in by every gap."),
            ("It is a new one: they make less of it.", "Any engine makes enough to kill."),
            ("Point its exhaust away.", "Wind turns it round in the night."),
        ),
    ),
    (
        "A customer with a breathing aid plans three nights on one battery, and nothing else.",
        "Not as its only power: a fallback, a test night at home, and a talk with the clinician come first.",
        (
            ("The sum says three nights, so go.", "A sum is not a fallback."),
            ("Take the humidifier off and go.", "That is for the clinician to say."),
            ("Sell the larger battery, and leave it there.", "A larger battery may fail too."),
        ),
    ),
    (
        "A cable from the battery has chafed through at a hole in the floor. The run is only half a metre.",
        "Isolate the battery now; renew the cable, with a grommet, and a fuse at the battery.",
        (
            ("Wrap it in tape: it is short.", "A short cable burns as well: the battery gives it thousands of amps."),
            ("Fit a larger fuse, so that it does not open on the road.", "The fuse protects the cable: a larger one does not."),
            ("Watch it until the end of the trip.", "It needs one bump."),
        ),
    ),
    (
        "A fuse has opened twice today. A passenger offers a bolt of the same length.",
        "Never: find why it opened; then the same kind and size again.",
        (
            ("Use it as far as home.", "Now nothing opens before the cable burns."),
            ("Use foil: it is thinner than a bolt.", "Foil is no fuse."),
            ("Use the next larger fuse.", "It opens for a reason: a larger one takes the protection away."),
        ),
    ),
)


@template("what-now", "What do you do?")
def what_now(draw, level):
    story, right, wrong = draw.one(_SITUATIONS)
    return Choice(
        story=story,
        question="What do you do?",
        options=tuple(draw.shuffled([Option(right, "", True), *(Option(*each) for each in draw.some(wrong, 2 if level == 1 else 3))])),
        why="A stop line is not weighed against convenience: say it first, and say it plainly.",
        hints=("What if the same thing happens at night, with a child there?",),
    )


_YOURS = (
    ("Change a fuse for one of the same kind and size, after finding why it opened", "That is yours, with the battery isolated."),
    ("Measure volts at the posts of a 12 V battery", "That is yours, without jewellery and with insulated tools."),
    ("Crimp a lug of the 12 V side, with the battery isolated", "That is yours, with the right tool."),
    ("Plug one appliance into the inverter's own socket", "That is what the socket is for."),
    ("Press the test button of the residual-current device", "That is yours. It shows that the device moves, and no more."),
    ("Write down the settings of the charger on the card", "That is yours."),
)
_LICENSED = (
    ("Connect the inverter to the sockets in the walls", "Fixed mains wiring is licensed work."),
    ("Fit a changeover between shore power and inverter", "Parting two mains sources is licensed work."),
    ("Decide where neutral and earth are joined", "It depends on country and system: licensed design."),
    ("Replace the inlet on the outside of a caravan", "Its pins may become live: licensed work."),
    ("Add a socket to the ring of a boat", "Fixed mains wiring is licensed work."),
    ("Change the type of the residual-current device", "Which type protects is licensed design."),
)
_NEVER = (
    ("Open the inverter's case to reset it", "Never: its capacitors stay charged, and nothing in it is to be set by hand."),
    ("Wire past the battery's own protection to get home", "Never: it opened to prevent a fire."),
    ("Charge a frozen lithium battery gently", "Never: the damage does not show until later."),
    ("Make a lead with two plugs", "Never: its bare pins are live."),
)


@template("whose-work", "Whose work is it?")
def whose_work(draw, level):
    if draw.below(2):
        question, (right, others) = "Which of these may you do yourself?", (draw.one(_YOURS), draw.some([*_LICENSED, *_NEVER], 2 if level == 1 else 3))
    else:
        question, (right, others) = "Which of these must be left to a licensed person?", (draw.one(_LICENSED), draw.some(_YOURS, 2 if level == 1 else 3))
    return Choice(
        story="In general; local law may ask for more.",
        question=question,
        options=tuple(draw.shuffled([Option(right[0], right[1], True), *(Option(text, why) for text, why in others)])),
        why="The line runs at the plug: behind it, fixed mains wiring is licensed work.",
        hints=("Is it extra-low voltage, or does it touch fixed mains wiring?",),
    )


_ENQUIRIES = (
    ("“Can I run my kettle and the toaster one after the other?”", "A sum: each alone."),
    ("“Is a larger cable ever wrong?”", "A matter of money and room."),
    ("“How long does my fridge run on this battery?”", "A sum, with a range."),
    ("“My meter shows 181 V on your inverter.”", "Ask which kind of meter it is."),
    ("“The lights dim when the pump starts.”", "Measure the path: resistance or an empty battery."),
    ("“Do I need a sine for my laptop?”", "A question of what stands first in it."),
)
_STOPS = (
    ("“I put the charger on the frozen battery, it takes a little.”", "Charging a frozen battery is a stop."),
    ("“I sleep well with the little generator in the awning.”", "Carbon monoxide: a stop, now."),
    ("“The fuse blew, so I put in a piece of wire.”", "Nothing protects the cable: a stop."),
    ("“It tingles a bit at the door handle.”", "A touch voltage is a fault: a stop."),
    ("“I feed the house through the socket in the garage.”", "Back-feed: a stop."),
    ("“The battery in the locker under the bed is round like a cushion.”", "A swollen battery: a stop."),
    ("“We took the earth off, it only trips everything.”", "Protection was removed: a stop."),
    ("“The oxygen machine hangs on the inverter, it has never failed.”", "Medical power without a fallback: a stop before any sum."),
)


@template("spot-the-stop", "Which one is a stop?")
def spot_the_stop(draw, level):
    stop, why = draw.one(_STOPS)
    return Choice(
        story="You have a full inbox.",
        question="Which of these do you answer first, before any sum?",
        options=tuple(draw.shuffled([Option(stop, why, True), *(Option(*each) for each in draw.some(_ENQUIRIES, 2 if level == 1 else 3))])),
        why="A stop comes before size, price and season: say it in the first sentence.",
        hints=("Where can somebody be hurt tonight?",),
    )


_ADVICE = (
    (
        "Keep papers and clothes clear of the inverter.",
        "Papers may lie on the inverter: it has a fan.",
        "A covered inverter overheats. Such heaps have burned.",
    ),
    (
        "For storage, open the battery isolator.",
        "For storage, the inverter's own switch is enough.",
        "Off at its switch, it is still connected, and has burned so.",
    ),
    (
        "Charge a lithium battery only above freezing.",
        "In frost, charge the lithium battery at half the current.",
        "Below freezing it is not charged: the damage does not show.",
    ),
    (
        "Run the generator outside, far from any opening.",
        "Run the generator in the awning with the flap open.",
        "Carbon monoxide: outside, far from any opening, with an alarm.",
    ),
    (
        "If a fuse opens, find out why before you replace it.",
        "If a fuse opens twice, take the next larger one.",
        "A larger fuse takes the protection away from the cable.",
    ),
    (
        "Feed the van by its inlet from one source at a time.",
        "On shore power, leave the inverter on its lead with two plugs.",
        "Two sources at once, on a lead with bare live pins: both are stops.",
    ),
    (
        "Lead-acid batteries need air: their gas burns.",
        "Close the vents of the battery box in winter, against the cold.",
        "Charging lead-acid makes hydrogen. The vents stay open.",
    ),
    (
        "If metal tingles, unplug, keep off, and have it tested.",
        "A slight tingle is normal on gravel.",
        "Any steady touch voltage is a fault until shown otherwise.",
    ),
    (
        "Leave sockets and wiring in the walls to a licensed person.",
        "Sockets in the walls you may join to the inverter yourself, with the power off.",
        "Fixed mains wiring is licensed work.",
    ),
    (
        "A breathing aid has a second supply, tried out at home.",
        "With a full battery, a breathing aid needs no second supply.",
        "Not the only power: a fallback, a test night, the clinician.",
    ),
)


@template("advice-sheet", "Find the error: a hand-over note")
def advice_sheet(draw, level):
    rows = draw.some(_ADVICE, 5 + level)
    wrong = draw.some(range(len(rows)), level + 1)
    return Faults(
        story="A colleague wrote this for a customer. Somebody can be hurt by it.",
        question="Which lines must not go out?",
        lines=tuple(Line(bad if place in wrong else good, why if place in wrong else "") for place, (good, bad, why) in enumerate(rows)),
        why="One dangerous line spoils the sheet, however right the rest is.",
        hints=("Gas, frost, fuses, two sources, tingles, covered heat.",),
    )


TEMPLATES = (what_now, whose_work, spot_the_stop, advice_sheet)
