"""dc-cable: which cable?

Three tests, and the thickest answer wins: the voltage it loses (loop length, warm copper,
mean current), the heat it stands (heating current, insulation, terminals, ambient, and the
rule that applies where the reader is), and the fuse in front of it, which has to carry the
current and still protect the cable.
"""

from calc.calculators import ac_power, ampacity, cable, regions
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Field
from calc.calculators.fuse import next_rating, ratings
from calc.physics import circuit, conductor, fuse
from calc.result import Axis, Figure, Level, Mark, Series
from calc.units import capitalised
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

CURRENT_TO_QUESTION = 200.0  # A continuous at 12 V; common practice

FIELDS = (
    Field(
        "current_dc", "Largest continuous DC current", "A", default="120 A", minimum="0.1 A", maximum="2000 A",
        tolerance="5 %", basis="common practice: type plates are good to about 5 %",
        hint="Mean current at the lowest voltage the inverter works at, not at 12 V.",
    ),
    cable.LENGTH_ONE_WAY,
    Field("voltage_nominal", "Nominal voltage", "V", default="12 V", minimum="6 V", maximum="60 V"),
    ampacity.RULE,
    ampacity.DROP_LIMIT,
    Field("area", "Cable to check, if you have one", "mm²", minimum="0.5 mm²", maximum="120 mm²", exact=True,
          hint="Leave blank to be given a size."),
    ampacity.INSULATION,
    ampacity.TERMINAL_TEMPERATURE,
    ampacity.AMBIENT,
    ampacity.ENGINE_SPACE,
    ampacity.BUNDLE,
    cable.CONDUCTOR,
    ampacity.RIPPLE,
    regions.REGION,
    *ac_power.FIELDS,
)  # fmt: skip

VERDICTS = {
    "sized": "a size is given",
    "fits": "the cable fits",
    "too-hot": "too thin: it overheats",
    "drops-too-much": "too thin: it loses too much voltage",
    "no-fuse": "no fuse carries the current and protects it",
    "none-fits": "no size here fits",
    "no-size": "no size is given",
}

ANSWERS = (
    Answer("verdict", "Verdict", choices=VERDICTS, main=True),
    Answer("area_chosen", "Cable", "mm²", main=True, stepped=True),
    Answer("voltage_drop", "Voltage drop, both ways", "V", main=True),
    Answer("drop", "Voltage drop of nominal", "%", main=True),
    Answer("conductor_temperature", "Conductor temperature", "°C", main=True),
    Answer("area_for_drop", "Smallest size for the drop", "mm²", stepped=True),
    Answer("area_for_heat", "Smallest size for the heat", "mm²", stepped=True),
    Answer("area_chosen_metric", "Size in mm²", "mm²", stepped=True),
    Answer("area_chosen_awg", "Size in AWG, as mm²", "mm²", stepped=True),
    Answer("current_dc", "DC current, mean", "A"),
    Answer("current_rms", "DC current, heating value", "A"),
    Answer("ampacity", "Heating current this cable may carry here", "A"),
    Answer("resistance_loop", "Resistance, both ways", "mΩ"),
    Answer("loss", "Heat along the cable", "W"),
    Answer("length_one_way_max", "Longest run one way within the drop", "m"),
    Answer("current_max", "Largest mean current this run may carry, its fuse too", "A"),
    Answer("area_for_fuse", "Smallest size for its fuse", "mm²", stepped=True),
    Answer("rating_wanted", "Smallest standard fuse that carries the current", "A", stepped=True),
)


def _check(v):
    ac_power.check(v, v.current_dc, v.voltage_nominal)
    cable.check_area("area", v.area, v.conductor)
    ampacity.check(v)
    ampacity.check_area("area", v)


def _currents(v):
    current = ac_power.current_dc(v, v.current_dc)
    return current, circuit.current_rms(current, v.ripple)


def _evaluate(v):
    current, heating = _currents(v)
    metric = "class-5" if v.conductor == "awg" else v.conductor
    rating = next_rating(fuse.rating_needed(heating, fuse.LOADING, 1.0))
    for_drop, for_heat, for_fuse, chosen = ampacity.smallest(v, v.conductor, current, heating, rating)
    out = dict.fromkeys(answer.name for answer in ANSWERS)
    out |= {
        "area_for_drop": for_drop,
        "area_for_heat": for_heat,
        "area_for_fuse": for_fuse,
        "area_chosen": chosen,
        "area_chosen_metric": chosen if v.conductor == metric else ampacity.smallest(v, metric, current, heating, rating)[-1],
        "area_chosen_awg": chosen if v.conductor == "awg" else ampacity.smallest(v, "awg", current, heating, rating)[-1],
        "current_dc": current,
        "current_rms": heating,
        "rating_wanted": rating,
    }
    if not ampacity.size_allowed(v):
        return out | dict.fromkeys(("area_for_heat", "area_for_fuse", "area_chosen", "area_chosen_metric", "area_chosen_awg")) | {"verdict": "no-size"}
    used = v.area if v.area is not None else chosen
    if used is None:
        return out | {"verdict": "none-fits"}
    return out | _of_size(v, used, current, heating, rating)


def _of_size(v, used, current, heating, rating):
    allowed, warm, resistance, drop = ampacity.run_of(v, v.conductor, used, current, heating)
    verdict = "sized" if v.area is None else "fits"
    if drop > v.drop_limit * (1 + 1e-9):
        verdict = "drops-too-much"
    if rating is None or allowed is None or rating > allowed * (1 + 1e-9):
        verdict = "no-fuse"
    if allowed is None or heating > allowed * (1 + 1e-9):
        verdict = "too-hot"
    limit = ampacity.temperature_limit(v)
    hot = conductor.resistance_loop(cable.resistance_per_length(used, v.conductor), v.length_one_way, limit - 20.0, conductor.TEMPERATURE_COEFFICIENT_COPPER)
    largest = 0.0 if allowed is None else max((one for one in ratings() if one <= allowed * (1 + 1e-9)), default=0.0)
    for_fuse = fuse.LOADING * largest * current / heating
    return {
        "verdict": verdict,
        "voltage_drop": conductor.voltage_drop(current, resistance),
        "drop": drop,
        "conductor_temperature": None if allowed is None else warm,
        "ampacity": allowed,
        "resistance_loop": resistance,
        "loss": conductor.heat(heating, resistance),
        "length_one_way_max": v.length_one_way * v.drop_limit / drop,
        "current_max": None if allowed is None else min(for_fuse, v.drop_limit * v.voltage_nominal / hot),
    }


def _explain(case):
    _work(case)
    _judge(case)
    _advise(case)


def _work(case):
    v, o = case.values, case.outputs
    ac_power.explain(case, o.current_dc)
    case.step("I_rms", "heating current", "I*sqrt(1 + r**2/2)", {"I": (o.current_dc, "A"), "r": (v.ripple, "")}, o.current_rms, "A", "ripple")
    case.step("I_need", "fuse rating it asks for", "I_rms/l", {"I_rms": (o.current_rms, "A"), "l": (fuse.LOADING, "")}, o.current_rms / fuse.LOADING, "A", "practice")
    used = v.area if v.area is not None else o.area_chosen
    if used is None or o.resistance_loop is None:
        return
    _work_heat(case, used)
    limit = ampacity.temperature_limit(v)
    warm = limit if o.conductor_temperature is None else min(o.conductor_temperature, limit)
    # Past its rating the temperature is only a verdict: the copper is taken at the most it may reach.
    at = "T" if warm == o.conductor_temperature else "T_most"
    source, clause = cable.source_for(case, used, v.conductor)
    case.step(
        "R", f"{cable.said(used, v)}, both ways, warm", f"R_20*(1 + alpha_20*({at} - T_20))*2*L",
        {"R_20": (cable.resistance_per_length(used, v.conductor), "Ω/km"), "alpha_20": (conductor.TEMPERATURE_COEFFICIENT_COPPER, "1/K"),
         at: (warm, "°C"), "T_20": (20.0, "°C"), "L": (v.length_one_way, "m")}, o.resistance_loop, "mΩ", source, clause,
    )  # fmt: skip
    case.step("U", "voltage drop", "I*R", {"I": (o.current_dc, "A"), "R": (o.resistance_loop, "mΩ")}, o.voltage_drop, "V", "ohm")
    case.step("u", "drop of nominal", "U/V_nominal", {"U": (o.voltage_drop, "V"), "V_nominal": (v.voltage_nominal, "V")}, o.drop, "%", "drop-limits")
    case.step("P_loss", "heat along the cable", "I_rms**2*R", {"I_rms": (o.current_rms, "A"), "R": (o.resistance_loop, "mΩ")}, o.loss, "W", "ohm")
    case.step("L_max", "longest run within the drop", "L*u_limit/u", {"L": (v.length_one_way, "m"), "u_limit": (v.drop_limit, "%"), "u": (o.drop, "%")}, o.length_one_way_max, "m", "ohm")


def _work_heat(case, used):
    v, o = case.values, case.outputs
    if o.ampacity is None:
        return
    ampacity.explain_ampacity(case, used, o.ampacity)
    _, current, rise = ampacity.ampacity(v, used)
    case.step(
        "T", "conductor temperature", "T_ambient + DeltaT_table*(I_rms/I_table)**2",
        {"T_ambient": (ampacity.ambient_of(v), "°C"), "DeltaT_table": (rise, "K"), "I_rms": (o.current_rms, "A"), "I_table": (current, "A")},
        o.conductor_temperature, "°C", "square-law",
    )  # fmt: skip


def _judge(case):
    v, o = case.values, case.outputs
    length = regions.length(v, v.length_one_way)
    if o.verdict == "no-size":
        _stop_without_size(case)
        return
    if o.rating_wanted is None:
        case.answer = f"No size is given: no single fuse here carries {say(o.current_dc, 'A')} ({say(o.current_rms, 'A')} of heating current) for hours. {_way_out(v, o)}"
        case.find("no-fuse-carries", "stop", f"The ratings held here end at {restate(ratings()[-1], 'A')}, and {say(o.current_rms / fuse.LOADING, 'A')} or more are asked for: a cable without a fuse is no answer. {_way_out(v, o)}")
    elif o.verdict == "none-fits":
        case.answer = f"No size up to {cable.said(cable.sizes(v.conductor)[-1][0], v)} fits {say(o.current_dc, 'A')} over {length} one way. {_way_out(v, o)}"
        case.find("none-fits", "stop", f"No single cable here does it. {_way_out(v, o)}")
    else:
        _judge_size(case, length)


def _judge_size(case, length):
    v, o = case.values, case.outputs
    used = cable.said(v.area if v.area is not None else o.area_chosen, v)
    drop = f"loses {say(o.voltage_drop, 'V', 2)} ({say(o.drop, '%', 2)})"
    limit = ampacity.temperature_limit(v)
    if o.verdict == "too-hot":
        carries = f"may carry {say(o.ampacity, 'A')} here" if o.ampacity is not None else "lies below that rule's table"
        case.answer = f"No: {used} {carries}, and {say(o.current_rms, 'A')} of heating current would flow."
        case.find("conductor-too-hot", "stop", f"The conductor would pass the {limit:.0f} °C its insulation or terminals stand. Use {_better(v, o)} and the fuse to match.")
    elif o.verdict == "no-fuse":
        case.answer = f"No: {used} may carry {say(o.ampacity, 'A')} here, but its fuse has to be {restate(o.rating_wanted, 'A')}. A smaller one does not carry {say(o.current_rms, 'A')} of heating current for hours."
        case.find("no-fuse-fits", "stop", f"A fuse that carries the current is above what this cable may carry: the cable would burn first. Use {_better(v, o)}.")
    elif o.verdict == "drops-too-much":
        case.answer = f"No: over {length} one way {used} {drop}, more than {restate(v.drop_limit, '%')}. {capitalised(_better(v, o))} does it."
    else:
        verb = f"Use {used}" if v.area is None else f"{used} fits"
        settles = f" and its copper settles at {o.conductor_temperature:.0f}\u00a0°C" if o.conductor_temperature is not None else ""
        case.answer = f"{verb}: over {length} one way it {drop}{settles}. Here {_deciding(o)}."


def _deciding(o):
    """Which of the three tests asks for the thickest cable, in words."""
    drop, heat, behind = (size or 0.0 for size in (o.area_for_drop, o.area_for_heat, o.area_for_fuse))
    if drop > behind:
        return "the drop decides"
    if behind > heat:
        return f"its {restate(o.rating_wanted, 'A')} fuse decides" + (", and the drop asks for as much" if drop == behind else "")
    return "drop and heat ask for the same size" if drop == heat else "the heat decides"


def _better(v, o):
    return cable.said(o.area_chosen, v) if o.area_chosen is not None else "a shorter run or a higher voltage"


def _way_out(v, o):
    higher = "go to 24 or 48 V" if v.voltage_nominal < 20 else "go to a higher battery voltage" if v.voltage_nominal < 45 else ""
    # A shorter run loses less, but is no cooler and asks for the same fuse.
    other = "shorten the run by moving the inverter to the battery" if o.area_for_drop is None else "split the load over two inverters, each with a cable and a fuse of its own"
    words = f"{other}, or {higher}" if higher else other
    return f"{capitalised(words)}."


def _stop_without_size(case):
    v, o = case.values, case.outputs
    for_drop = f"For the drop alone {cable.said(o.area_for_drop, v)} is enough" if o.area_for_drop is not None else "No size here meets the drop"
    case.answer = f"No size is given. {for_drop}; what the heat needs has to be looked up."
    if v.rule == "iso-13297-boats":
        case.cite("iso-small-craft")
    case.find("size-not-held", "stop", ampacity.why_no_size(v))


def _advise(case):
    v, o = case.values, case.outputs
    if o.current_dc > CURRENT_TO_QUESTION and v.voltage_nominal < 20:
        case.find("current-high", "caution", f"{say(o.current_dc, 'A')} continuous at 12 V is a lot for cable, joints and fuse: 24 or 48 V halves or quarters it.")
    used = v.area if v.area is not None else o.area_chosen
    if o.verdict in ("sized", "fits") and (case.high("area_chosen") is None or case.high("area_chosen") > used):
        bigger = "no size here would do" if case.high("area_chosen") is None else f"{cable.said(case.high('area_chosen'), v)} would be needed"
        case.find("size-close", "caution", f"It is close: with the inputs at their bad end, {bigger}.")
    if v.rule == "us-boats-33-cfr-183":
        case.find("rule-scope", "note", "33 CFR 183 is law for boats with petrol inboard engines in the United States; elsewhere it is only a table. A petrol space also needs ignition-protected gear.")
        if v.bundle > 2 and v.voltage_nominal < 50:
            case.find("bundle-below-50", "note", "The rule sets no bundle factor below 50 V; cables that carry their full current together still warm each other.")
    if v.terminal_temperature < v.insulation and o.ampacity is not None:
        case.find("terminals-decide", "note", f"The {v.terminal_temperature:.0f} °C lugs and terminals limit the current here, not the {v.insulation:.0f} °C insulation.")
    if ampacity.starts_thick(v, o.area_for_fuse):
        case.find("table-starts", "note", ampacity.TABLE_STARTS)
    case.find("fuse", "note", "Fuse it at the battery: above the largest steady current, never above what the cable may carry, and able to break the battery's fault current. A fuse in a hot place may have to be larger: see “Which fuse?”.")
    case.find("drop-is-part", "note", "The cable's drop is one part of three: battery and joints take theirs too. Check the whole path before you buy.")


def _draw(case):
    v, o = case.values, case.outputs
    every, good, ceiling = [], [], 3.0 * v.drop_limit
    for area, _ in cable.sizes(v.conductor):
        allowed, _, _, drop = ampacity.run_of(v, v.conductor, area, o.current_dc, o.current_rms)
        if drop > ceiling:
            continue
        every.append((area * 1e6, drop * 100))
        if o.rating_wanted is not None and allowed is not None and allowed >= o.rating_wanted:
            good.append(every[-1])
    series = [Series("every size", tuple(every), dash="dashed", markers=True)] if every else []
    if good:
        series.append(Series("those that stand heat and fuse", tuple(good), markers=True))
    used = v.area if v.area is not None else o.area_chosen
    marks = ()
    if used is not None and o.drop is not None and o.drop <= ceiling:
        marks = (Mark(cable.said(used, v), used * 1e6, o.drop * 100),)
    return [Figure(
        "Voltage drop against cable size",
        "Share of the nominal voltage lost along the cable, both ways and warm, for each standard size.",
        Axis("cross-section", "mm²", 0, 125), Axis("voltage drop", "%", 0, ceiling * 100),
        tuple(series), (Level(f"limit {restate(v.drop_limit, '%')}", v.drop_limit * 100),), marks,
    )]  # fmt: skip


CALCULATOR = Calculator(
    id="dc-cable",
    title="Which cable?",
    question="Which DC cable carries this current over this length, without losing too much voltage or getting too hot?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
    alternatives=((("current_dc",), ("power_ac", "voltage_min")),),
)
