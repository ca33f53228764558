"""changeover: plug in, switch over, or charge as well?

Not a formula but a decision: from what is to be supplied, and from which sources, to one of
five arrangements, by rules that stand here as data with their reasons. Beside it one sum:
whether the supply carries the charger and everything else at once.
"""

from dataclasses import dataclass

from calc.calculators import regions
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.calculators.thumb_rules import trip_b
from calc.errors import FieldProblem
from calc.physics import charging, fault, shore
from calc.result import Axis, Figure, Level, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

CONTINUOUS_SHARE = 0.8  # of a breaker's rating, for hours: site posts trip in the sun; common practice
ARRANGEMENTS = {
    "plug-in": "appliances plugged straight into the inverter",
    "plug-in-and-charger": "appliances plugged straight into the inverter, and a separate charger on the mains",
    "hard-wired": "outlets wired to the inverter alone, by a licensed person",
    "changeover": "an interlocked changeover switch for both poles, fitted by a licensed person",
    "inverter-charger": "a combined inverter-charger with its own changeover, wired by a licensed person",
}


@dataclass(frozen=True)
class Rule:
    """One rule: it holds where every field named in `when` has one of the values listed."""

    arrangement: str
    when: dict
    why: str

    def holds(self, v):
        """Whether the answers meet it."""
        return all(getattr(v, name) in values for name, values in self.when.items())


RULES = (
    Rule("plug-in-and-charger", {"outlets": ("one-appliance", "several-appliances"), "source": ("yes",), "charging": ("yes",)},
         "No outlet is to be fed by two sources, so nothing needs to switch over. On mains the appliances are plugged into the mains instead, and a charger on the mains fills the battery. Each part can be replaced alone."),
    Rule("plug-in", {"outlets": ("one-appliance", "several-appliances")},
         "The inverter's own outlets are enough. Nothing is wired, nothing can meet another source, and nobody needs a licence for it."),
    Rule("hard-wired", {"outlets": ("fixed-outlets",), "source": ("no",)},
         "Fixed outlets with the inverter as their only source need no changeover, but they are fixed wiring. Protection, earth link and breaker belong to a licensed person. Leave room for a changeover, for the day someone wants mains."),
    Rule("inverter-charger", {"outlets": ("fixed-outlets",), "source": ("yes",), "charging": ("yes",), "budget": ("middle", "large")},
         "The same outlets have two sources, and one of them fills the battery. One unit holds the changeover, the charger and a limit for the supply's current. It sees to it that the sources never meet."),
    Rule("changeover", {"outlets": ("fixed-outlets",), "source": ("yes",)},
         "The same outlets from two sources need a switch that breaks both poles of one before it makes the other. Then they can never meet. A separate charger on the mains side costs less than a combined unit."),
)  # fmt: skip
"""First that holds, wins. `source` is "yes" where there is shore power or a generator."""

QUESTIONS = (
    "Is the inverter's output bonded to earth or floating, and does its maker allow a link?",
    "Where is the neutral linked to earth on each source, and what opens that link when another takes over?",
    "Which residual-current device, of what type and where, so that it works on the inverter too?",
    "Does the breaker clear on the current the inverter can give?",
    "Does the changeover break both poles, and can it be left between two sources?",
    "How large may the inverter's input current be set, and who sets it at a new site?",
    "Are the vehicle's voltage, frequency, plugs and polarity those of this country?",
)
"""What the licensed person is asked, in writing."""

PLANS = {
    "none": "nothing yet",
    "own-outlets": "appliances into the inverter's own outlets",
    "feed-an-outlet": "a lead from the inverter into a wall outlet or the vehicle's inlet",
    "own-wiring": "wire it into the outlets myself",
    "licensed": "have it wired by a licensed person",
}

FIELDS = (
    Choice("outlets", "What it has to supply",
           {"one-appliance": "one appliance at a time", "several-appliances": "several appliances, on the inverter's outlets", "fixed-outlets": "the outlets fixed in the vehicle or cabin"},
           default="one-appliance", example="fixed-outlets"),
    Choice("shore_power", "Mains at the site, or at home", {"yes": "yes, at times", "no": "never"}, default="yes"),
    Choice("generator", "Generator", {"none": "none", "portable": "portable", "built-in": "built in"}, default="none"),
    Choice("charging", "Should the mains or generator fill the battery", {"yes": "yes", "no": "no"}, default="yes"),
    Choice("budget", "Budget", {"small": "as little as will do", "middle": "some", "large": "what it takes"}, default="middle"),
    Choice("plan", "What is in mind", PLANS, default="none", example="licensed"),
    regions.by_region(
        Field("supply_current", "Current the supply may give", "A", default="10 A", minimum="1 A", maximum="125 A",
              unknown=Unknown("10 A", "6 A", "16 A", "common practice: sites in Europe and Australia"), hint="On the site's post, the inlet's breaker or the generator's plate."),
        lambda region: {} if not region.awg else {"default": "30 A", "unknown": Unknown("30 A", "15 A", "50 A", "common practice: sites in North America")},
    ),
    Field("charger_current", "Charger's current into the battery", "A", default="40 A", minimum="0 A", maximum="300 A",
          unknown=Unknown("30 A", "10 A", "60 A", "common practice for chargers in vehicles")),
    Field("power_other", "Everything else on the supply at the same time", "VA", default="1000 VA", minimum="0 VA", maximum="30 kVA",
          tolerance="10 %", basis="common practice: type plates",
          unknown=Unknown("1000 VA", "300 VA", "2000 VA", "common practice: from lights and a fridge to one heating appliance"), hint="Kettle, fridge, heater; in VA, for motors more than the watts."),
    regions.REGION,
    Choice("fixed_wiring", "Mains wiring in the vehicle or cabin now", {"yes": "yes", "no": "no", "unknown": "not known"}, default="unknown", more=True),
    Choice("origin", "The vehicle and its wiring come from", {"here": "this country", "abroad": "another country", "unknown": "not known"}, default="here", more=True),
    Choice("output_link", "Inverter's output to earth", {"floating": "floating", "bonded": "bonded", "unknown": "not known"}, default="unknown", more=True),
    Choice("generator_safe", "Generator outside, away from openings, with a carbon monoxide alarm inside", {"yes": "yes", "no": "no", "unknown": "not known"}, default="unknown", more=True),
    Choice("medical", "A medical device depends on it", {"no": "no", "with-fallback": "yes, with another supply tried out", "no-fallback": "yes, and there is no other"}, default="no", more=True),
    Choice("signs", "Signs of a fault now", {"none": "none", "tingle": "a tingle or a shock", "hot-smell": "a hot smell"}, default="none", more=True),
    regions.voltage_ac(Field("voltage_ac", "Supply voltage", "V", default="230 V", minimum="90 V", maximum="260 V", hint="Left blank: that of the region.", more=True)),
    Field("charging_voltage", "Battery voltage while charging", "V", default="14.2 V", minimum="5 V", maximum="64 V", more=True,
          unknown=Unknown("14.2 V", "13.5 V", "14.6 V", "common practice: a 12 V battery on charge")),
    Field("charger_efficiency", "Efficiency of the charger", "%", default="87 %", minimum="30 %", maximum="99 %",
          unknown=Unknown("87 %", "75 %", "93 %", "common practice"), more=True),
    Field("charger_power_factor", "Power factor of the charger", "", default="unknown", minimum="0.3", maximum="1",
          unknown=Unknown("0.7", "0.6", "0.98", "common practice: 0.98 with power factor correction, 0.6 to 0.7 without"), hint="Its sheet: active PFC means close to 1.", more=True),
    Field("rating", "Inverter's continuous rating", "VA", default="2000 VA", minimum="20 VA", maximum="20 kVA", more=True),
    Field("limit_multiple", "Inverter's current limit over its rated current", "", default="unknown", minimum="1", maximum="4",
          unknown=Unknown("2", "1.5", "2.5", "common practice"), more=True),
    regions.by_region(
        Field("breaker", "Breaker of the circuit it feeds", "A", default="10 A", minimum="2 A", maximum="63 A", hint="Taken as IEC type B; where mains are 120 V its curve is asked for instead.", more=True),
        lambda region: {} if not region.awg else {"default": "15 A"},
    ),
)  # fmt: skip

ANSWERS = (
    Answer("arrangement", "Arrangement", main=True, choices=ARRANGEMENTS),
    Answer("current_spare", "Left on the supply with the charger running", "A", main=True, quiet=True, signed=True),
    Answer("charger_current_max", "Largest charging current beside the other loads", "A", main=True, quiet=True, least=lambda v: 0.0),
    Answer("current_charger", "Charger, from the supply", "A", quiet=True),
    Answer("current_other", "Everything else, from the supply", "A", quiet=True),
    Answer("current_allowed", "What the supply carries for hours", "A", quiet=True),
    Answer("apparent_power_charger", "Charger, apparent power", "VA", quiet=True),
    Answer("current_limit", "Most the inverter gives into a fault", "A"),
    Answer("current_trip", "Current an IEC type B breaker is sure to trip at", "A", quiet=True),
)


def _has_source(v):
    return v.shore_power == "yes" or v.generator != "none"


def _check(v):
    if v.outlets == "fixed-outlets" and v.plan == "own-outlets":
        raise FieldProblem("plan", "the inverter's own outlets do not supply fixed ones: choose another answer here, or appliances above")


def _rule(v):
    answers = _Answers(v)
    return next(rule for rule in RULES if rule.holds(answers))


class _Answers:
    """The reader's answers, with the one the rules add: whether there is a second source."""

    def __init__(self, v):
        self._values = v

    @property
    def source(self):
        return "yes" if _has_source(self._values) else "no"

    def __getattr__(self, name):
        return getattr(self._values, name)


def _evaluate(v):
    out = {"arrangement": _rule(v).arrangement} | _fault(v)
    if not _has_source(v):
        return dict.fromkeys(answer.name for answer in ANSWERS) | out
    apparent = charging.apparent_power(charging.supply_power(v.charger_current, v.charging_voltage, v.charger_efficiency), v.charger_power_factor) if v.charging == "yes" else 0.0
    other = v.power_other / v.voltage_ac
    allowed = CONTINUOUS_SHARE * v.supply_current
    room = max((allowed - other) * v.voltage_ac, 0.0)
    return out | {
        "apparent_power_charger": apparent,
        "current_charger": apparent / v.voltage_ac,
        "current_other": other,
        "current_allowed": allowed,
        "current_spare": allowed - other - apparent / v.voltage_ac,
        "charger_current_max": shore.charger_current(room, v.charging_voltage, v.charger_efficiency, v.charger_power_factor),
    }


def _fault(v):
    return {"current_limit": fault.current_limit(v.rating, v.limit_multiple, v.voltage_ac), "current_trip": None if _american(v) else trip_b() * v.breaker}


def _american(v):
    """Whether breakers here are made to UL 489, which has no types B, C and D."""
    return regions.presets()[v.region].awg


def _explain(case):
    v, o = case.values, case.outputs
    first = "Find the fault first. " if v.signs != "none" else "Never by a lead into an outlet. " if v.plan == "feed-an-outlet" else ""
    case.answer = f"{first}Best here: {ARRANGEMENTS[o.arrangement]}"
    if not _has_source(v):
        case.answer += ". There is no other source to share or to meet."
    elif o.current_spare >= 0:
        case.answer += f". The supply carries it, with {say(o.current_spare, 'A', 2)} to spare."
    else:
        case.answer += f". The supply is {say(-o.current_spare, 'A', 2)} short with everything on at once."
    _work(case)
    case.find("why", "note", _rule(v).why)
    case.cite("transfer-rules")
    _stop(case)
    _advise(case)


def _work(case):
    v, o = case.values, case.outputs
    if _has_source(v):
        case.step("I_allowed", "what the supply carries for hours", "k*I_supply", {"k": (CONTINUOUS_SHARE, "%"), "I_supply": (v.supply_current, "A")}, o.current_allowed, "A", "practice")
        case.step("I_other", "everything else", "S_other/V_ac", {"S_other": (v.power_other, "VA"), "V_ac": (v.voltage_ac, "V")}, o.current_other, "A", "arithmetic")
        charger = {"eta": (v.charger_efficiency, "%"), "PF": (v.charger_power_factor, "")}
        battery = {"V": (v.charging_voltage, "V"), "I": (v.charger_current, "A")}
        parts = {"I_allowed": (o.current_allowed, "A"), "I_other": (o.current_other, "A")}
        if v.charging == "yes":
            case.step("S_charger", "charger, apparent power", "V*I/(eta*PF)", {**battery, **charger}, o.apparent_power_charger, "VA", "arithmetic")
            case.step("I_charger", "charger, from the supply", "S_charger/V_ac", {"S_charger": (o.apparent_power_charger, "VA"), "V_ac": (v.voltage_ac, "V")}, o.current_charger, "A", "arithmetic")
            case.step("I_spare", "left on the supply", "I_allowed - I_other - I_charger", {**parts, "I_charger": (o.current_charger, "A")}, o.current_spare, "A", "arithmetic")
        if o.charger_current_max > 0:
            case.step("I_max", "largest charging current beside the others", "(I_allowed - I_other)*V_ac*eta*PF/V",
                      {**parts, "V_ac": (v.voltage_ac, "V"), **charger, "V": (v.charging_voltage, "V")}, o.charger_current_max, "A", "arithmetic")  # fmt: skip
    case.step("I_limit", "most the inverter gives into a fault", "x*S_r/V_ac", {"x": (v.limit_multiple, ""), "S_r": (v.rating, "VA"), "V_ac": (v.voltage_ac, "V")}, o.current_limit, "A", "practice")


def _stop(case):
    """The lines nobody passes, whatever the arrangement."""
    v, o = case.values, case.outputs
    if v.signs == "tingle":
        case.find("tingle", "stop", "A tingle or a shock is a fault. Unplug the supply, touch no metal, keep others away, and have it tested before anything is switched on again.")
    if v.signs == "hot-smell":
        case.find("hot-smell", "stop", "A hot smell: switch off at the appliance, open the isolator, leave, and let it cool. Nothing is switched on again before the cause is found.")
    if v.plan == "feed-an-outlet":
        case.find("feeding-an-outlet", "stop", "Never put a lead from an inverter into a wall outlet or a vehicle's inlet. Never use a lead with a plug at both ends. The pins become live, two sources can meet, and a line worker can be killed.")
    if v.plan == "own-wiring":
        case.find("own-wiring", "stop", "Fixed mains wiring is a licensed person's work, here and on any inverter. Put the tools down, and hand that person the questions listed under “Plug in, switch over, or charge as well?”.")
    if v.outlets == "fixed-outlets" and v.plan not in ("licensed", "own-wiring"):
        case.find("fixed-wiring", "stop", "This touches fixed mains wiring: not to be done without a licensed person.")
    if v.outlets == "fixed-outlets" and _has_source(v) and v.plan != "licensed":
        case.find("two-sources", "stop", "Two sources must never be able to meet: mechanically interlocked, both poles, break before make. A habit of switching one off first is not an interlock.")
    if v.origin != "here" and (v.outlets == "fixed-outlets" or _has_source(v)):
        case.find("imported", "stop", "A vehicle from another country may have another voltage, frequency, polarity and earth link. Plug nothing in before a licensed person has looked at it.")
    if v.outlets != "one-appliance" and v.output_link != "bonded":
        how = "floats" if v.output_link == "floating" else "may float"
        case.find("floating-output", "stop", f"The inverter's output {how}: for more than one appliance, or a metal body, that needs a licensed design. A residual-current device does not trip on the first fault, and with a second, in another appliance, full voltage can stand between two cases.")
    if v.outlets == "fixed-outlets" and o.current_trip is None:
        case.find("breaker-curve-unknown", "stop", f"The inverter gives {say(o.current_limit, 'A', 2)} into a fault. Breakers in North America are made to UL 489, which sets no current at which a {restate(v.breaker, 'A')} one must trip at once (from memory). Its maker's curve has to show that it clears on this current. Protection on the inverter's side needs a licensed design.")
    elif v.outlets == "fixed-outlets" and o.current_limit < o.current_trip:
        case.find("breaker-may-not-clear", "stop", f"The inverter gives {say(o.current_limit, 'A', 2)} into a fault; a type B breaker of {restate(v.breaker, 'A')} trips at once for certain only from {restate(o.current_trip, 'A')}. Protection on the inverter's side needs a licensed design.")
    if v.generator != "none" and v.generator_safe != "yes":
        case.find("generator-place", "stop", "A generator runs outside, well away from windows, doors and vents, with a carbon monoxide alarm working inside. Until that is so, it does not run.")
    if v.medical == "no-fallback":
        case.find("medical-no-fallback", "stop", "A medical device with no other supply is not to depend on this. Ask the clinician, and try the fallback out first.")


def _advise(case):
    v, o = case.values, case.outputs
    if o.current_spare is not None and o.current_spare < 0:
        if v.charging == "yes" and o.charger_current_max > 0:
            case.find("supply-short", "caution", f"Set the charger to {say(o.charger_current_max, 'A', 2)} or less, or switch something off while it charges: the supply's breaker trips otherwise.")
        else:
            case.find("supply-short", "caution", "Even without the charger the other loads are more than the supply carries for hours: switch something off.")
    elif o.current_spare is not None and (case.low("current_spare") or 0.0) < 0:
        case.find("supply-may-be-short", "caution", "With what is uncertain at its bad end the supply is short. Read the breaker on the post, and the charger's power factor on its sheet.")
    if v.medical == "with-fallback":
        case.find("medical-fallback", "caution", "Try the medical device on this supply for a whole night, with the other supply at hand, and ask the clinician.")
    if o.arrangement in ("changeover", "inverter-charger", "hard-wired"):
        case.find("licensed", "note", "Only a licensed person does the fixed wiring, the changeover, the link between neutral and earth, the residual-current device and the breakers. So it is with the test by an instrument. You may choose, buy, carry, and plug into an outlet.")
        if _has_source(v):
            case.find("interlock", "caution", "The two sources are interlocked mechanically, both poles, break before make, so that they can never meet: have that shown, not told.")
        if v.fixed_wiring == "no":
            case.find("no-wiring-yet", "note", "There is no mains wiring yet: inlet, main switch, residual-current device, breakers and outlets are one design, and one licensed job.")
        case.find("questions", "note", f"Hand over, in writing: {' '.join(f'({place}) {question}' for place, question in enumerate(QUESTIONS, 1))} The answers belong in the handover papers.")
    else:
        if v.fixed_wiring != "no":
            case.find("fixed-outlets-stay-dead", "note", "The outlets fixed in the vehicle stay dead on the inverter: mark which ones, so that nobody tries to liven them with a lead.")
        if v.outlets == "one-appliance" and v.output_link != "bonded":
            case.find("one-at-a-time", "caution", "Keep to one appliance at a time while the output floats or may float. The first fault in each of two waits unseen, and then full voltage can stand between their cases.")
        case.find("leads", "note", "Each appliance has its own lead to the inverter, short and unrolled. Nothing from the inverter ever goes into an outlet, an inlet or a distribution lead that can also meet the mains.")
    if v.charging == "yes" and _has_source(v):
        case.find("charger-off-inverter", "note", "The charger is never fed by the inverter: it would empty the battery in a circle.")


def _draw(case):
    v, o = case.values, case.outputs
    if not _has_source(v):
        if o.current_trip is None:
            return [_bars("Fault current beside the breaker", "The most the inverter gives into a fault, beside the breaker's rating.", ("inverter's limit", "breaker's rating"), (o.current_limit, v.breaker), ())]
        names, heights = ("inverter's limit", "breaker trips"), (o.current_limit, o.current_trip)
        return [_bars("Fault current against the breaker", "The most the inverter gives into a fault, beside the current at which a type B breaker is sure to trip.", names, heights, ())]
    names = ("others", "charger", "together")
    heights = (o.current_other, o.current_charger, o.current_other + o.current_charger)
    levels = (Level(f"supply, {restate(v.supply_current, 'A')}", v.supply_current), Level(f"for hours, {restate(o.current_allowed, 'A')}", o.current_allowed))
    return [_bars("What the supply has to carry", "Current of the other loads and of the charger, alone and together, with what the supply may give and what it carries for hours.", names, heights, levels)]


def _bars(title, description, names, heights, levels):
    top = 1.25 * max([*heights, *(level.y for level in levels), 1.0])
    places = range(1, len(names) + 1)
    bars = Series("current", tuple((float(place), height) for place, height in zip(places, heights, strict=True)), bars=True)
    return Figure(title, description, Axis("", "", 0.25, len(names) + 0.75, tuple(zip(places, names, strict=True))), Axis("current", "A", 0, top), (bars,), levels)


CALCULATOR = Calculator(
    id="changeover",
    title="Plug in, switch over, or charge as well?",
    question="How is the inverter to be joined to the appliances, the mains and the battery, and does the supply carry it?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
)
