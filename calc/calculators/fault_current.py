"""fault-current: can the breaker clear a fault?

A breaker trips at once on a multiple of its rating. Mains give that many times over; an
inverter limits its current to little more than its own rating. The answer compares the two;
what to do about it is a licensed design.
"""

from calc import tables
from calc.calculators import regions
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.errors import FieldProblem
from calc.physics import fault
from calc.result import Axis, Figure, Level, Mark, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

RATINGS = (2.0, 4.0, 6.0, 10.0, 13.0, 16.0, 20.0, 25.0, 32.0, 40.0, 50.0, 63.0)  # A, IEC 60898-1 preferred values
CONVENTIONAL_TRIP = 1.45  # of the rating: trips within an hour by heat, IEC 60898-1

FIELDS = (
    Field("rating", "Inverter's continuous rating", "VA", default="2000 VA", minimum="20 VA", maximum="100 kVA",
          hint="On the type plate, as VA or W continuous; not the peak figure."),
    regions.by_region(
        Field("breaker_rating", "Breaker's rated current", "A", default="10 A", minimum="0.5 A", maximum="125 A", hint="The number after the letter: B10 is 10 A."),
        lambda region: {"default": "15 A"} if region.awg else {},
    ),
    Choice("curve", "Breaker's curve", {"B": "B", "C": "C", "D": "D", "unknown": "not known"}, default="B", unknown="unknown", hint="The letter before the number. Not known counts as the worst, D."),
    regions.voltage_ac(Field("voltage_ac", "Output voltage", "V", default="230 V", minimum="90 V", maximum="260 V", hint="Left blank: that of the region.")),
    regions.REGION,
    Field("current_limit_multiple", "Inverter's current limit over its rated current", "", default="unknown", minimum="1", maximum="10",
          unknown=Unknown("2", "1.5", "2.5", "common practice: 1.5 to 2.5 for a second or less"), hint="In its data sheet as overload or short-circuit current.", more=True),
    Choice("output", "Inverter's output", {"floating": "floating: neither pole linked to earth", "bonded": "one pole linked to earth at the inverter", "unknown": "not known"}, default="unknown", more=True),
    Field("appliances", "Appliances or metal bodies it feeds", "", default="1", minimum="1", maximum="100", hint="Count a metal vehicle body too.", more=True),
)  # fmt: skip

SHARED = {"one": "one appliance only", "hidden": "a first fault stays hidden", "ask": "ask how the output is linked", "bonded": "one pole linked to earth"}
VERDICTS = {"trips": "trips at once", "may-not": "may not trip at once", "will-not": "will not trip at once"}

ANSWERS = (
    Answer("verdict", "Verdict", choices=VERDICTS, main=True),
    Answer("current_limit", "Most the inverter delivers", "A", main=True),
    Answer("trip_current_low", "Breaker may trip at once from", "A", main=True),
    Answer("trip_current_high", "Breaker must trip at once from", "A", main=True),
    Answer("current_rated", "Inverter's rated current", "A"),
    Answer("rating_to_trip", "Inverter that surely trips it", "VA"),
    Answer("breaker_rating_max", "Largest breaker of this curve that surely trips", "A", stepped=True, quiet=True),
    Answer("output_shared", "Output and what it feeds", choices=SHARED),
    Answer("current_share", "Current limit of the breaker's rating", "%"),
)  # fmt: skip


def _check(v):
    if v.appliances != int(v.appliances):
        raise FieldProblem("appliances", "enter a whole number of appliances")


def _band(curve):
    """Multiples of the rating: from where it may, and from where it must trip at once."""
    row = next(row for row in tables.load("breaker_iec_60898").values if row["curve"] == ("D" if curve == "unknown" else curve))
    return row["low"], row["high"]


def _evaluate(v):
    low, high = _band(v.curve)
    limit = fault.current_limit(v.rating, v.current_limit_multiple, v.voltage_ac)
    must, may = high * v.breaker_rating, low * v.breaker_rating
    return {
        "verdict": "trips" if limit >= must * (1 - 1e-9) else "may-not" if limit >= may * (1 - 1e-9) else "will-not",
        "current_limit": limit,
        "trip_current_low": may,
        "trip_current_high": must,
        "current_rated": v.rating / v.voltage_ac,
        "rating_to_trip": fault.rating_for_current(must, v.current_limit_multiple, v.voltage_ac),
        "breaker_rating_max": max((amps for amps in RATINGS if high * amps <= limit * (1 + 1e-9)), default=None),
        "output_shared": _shared(v),
        "current_share": limit / v.breaker_rating,
    }


def _shared(v):
    if v.output == "bonded":
        return "bonded"
    if v.appliances == 1:
        return "one"
    return "hidden" if v.output == "floating" else "ask"


def _explain(case):
    v, o = case.values, case.outputs
    low, high = _band(v.curve)
    name = _name(v)
    case.step("I_limit", "most the inverter delivers", "x*S_r/V", {"x": (v.current_limit_multiple, ""), "S_r": (v.rating, "VA"), "V": (v.voltage_ac, "V")}, o.current_limit, "A", "inverter-limit")
    for symbol, words, multiple, value in (("I_may", "may trip at once from", low, o.trip_current_low), ("I_must", "must trip at once from", high, o.trip_current_high)):
        case.step(symbol, f"{name} {words}", "m*I_n", {"m": (multiple, ""), "I_n": (v.breaker_rating, "A")}, value, "A", "iec60898")
    case.step("S_need", "inverter that surely trips it", "I_must*V/x", {"I_must": (o.trip_current_high, "A"), "V": (v.voltage_ac, "V"), "x": (v.current_limit_multiple, "")}, o.rating_to_trip, "VA", "inverter-limit")
    band = f"{restate(o.trip_current_low, 'A')} to {restate(o.trip_current_high, 'A')}"
    gives = f"the inverter gives {say(o.current_limit, 'A')} at most"
    if o.verdict == "trips":
        case.answer = f"It trips at once, if the inverter holds on: {gives}, and a {name} breaker must trip from {restate(o.trip_current_high, 'A')}."
    elif o.verdict == "may-not":
        case.answer = f"It may not trip at once: {gives}, and a {name} breaker trips somewhere from {band}."
    else:
        case.answer = f"It will not trip at once: {gives}, and a {name} breaker needs {band}."
    _judge(case)
    _advise(case)


def _name(v):
    return f"{'D' if v.curve == 'unknown' else v.curve}{v.breaker_rating:g}"


def _judge(case):
    v, o = case.values, case.outputs
    if o.verdict == "will-not":
        later = "by heat it may take up to an hour" if o.current_share >= CONVENTIONAL_TRIP else "by heat it need not trip at all"
        case.find("will-not-clear", "stop", f"This breaker does not clear a fault on this inverter: its magnet does not act, and {later}. What protects people here has to be a licensed design.")
    elif o.verdict == "may-not":
        case.find("may-not-clear", "stop", "Whether this breaker clears a fault on this inverter is left to chance. What protects people here has to be a licensed design.")
    elif case.low("current_limit") < o.trip_current_high * (1 - 1e-9):
        case.find("limit-uncertain", "caution", f"With the inverter's limit at its low end, {say(case.low('current_limit'), 'A')}, the breaker need not trip at once. Ask the maker for the current limit.")
    if o.output_shared == "hidden":
        case.find("floating-shared", "stop", "A floating output that feeds more than one appliance or metal body hides the first fault. The second puts full voltage between two of them. Do not use it so without a licensed design.")
    elif o.output_shared == "ask":
        case.find("output-unknown", "caution", "Ask whether the output is floating: if it is, feeding more than one appliance or metal body needs a licensed design.")


def _advise(case):
    v, o = case.values, case.outputs
    case.find("inverter-first", "caution", "Most inverters switch themselves off within a second of a short. That is their own protection, not a tested protection of people: ask the maker what the output does into a short.")
    case.find("licensed", "note", "Fixed wiring, the earth link, the residual-current device and the choice of breaker on an inverter belong to a licensed person.")
    case.find("not-for-dc", "note", "These curves are for alternating current. A breaker on the battery side must be made for direct current.")
    if o.breaker_rating_max is not None and o.verdict != "trips":
        case.find("smaller-breaker", "note", f"A breaker of this curve up to {restate(o.breaker_rating_max, 'A')} would be tripped for certain; whether it suits the wiring is for the licensed person.")
    if regions.presets()[v.region].awg:
        case.find("curve-of-iec", "caution", "Curves B, C and D are those of IEC 60898. A breaker made for North America has a trip band of its own. Ask its maker for the current at which it must trip at once, and compare that.")
    if v.curve == "unknown":
        case.find("curve-unknown", "note", "The curve is taken as D, the hardest to trip. Read the letter before the number on the breaker.")


def _draw(case):
    v, o = case.values, case.outputs
    top = max(1.3 * o.rating_to_trip, 1.3 * v.rating)
    currents = tuple((share * top, fault.current_limit(share * top, v.current_limit_multiple, v.voltage_ac)) for share in (0.0, 0.5, 1.0))
    height = 1.1 * max(currents[-1][1], o.trip_current_high)
    return [Figure(
        "The inverter's most against the breaker's band",
        "Current limit of inverters of rising size, with the currents from which the breaker may and must trip at once.",
        Axis("inverter's rating", "VA", 0.0, top), Axis("current", "A", 0.0, height),
        (Series("most the inverter delivers", currents),),
        (Level(f"must trip {restate(o.trip_current_high, 'A')}", o.trip_current_high), Level(f"may trip {restate(o.trip_current_low, 'A')}", o.trip_current_low)),
        (Mark(say(o.current_limit, "A"), v.rating, o.current_limit),),
    )]  # fmt: skip


CALCULATOR = Calculator(
    id="fault-current",
    title="Can the breaker clear a fault?",
    question="Does this inverter deliver enough current into a fault to trip this breaker at once?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
)
