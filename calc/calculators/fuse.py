"""fuse: which fuse?

Between what the inverter draws and what the cable may carry, for the battery's highest
voltage, and able to break the most its battery can deliver into a short. Then the other
end of the question: does the least that a short may draw still open it in time?
"""

from functools import cache

from calc import tables
from calc.calculators import ac_power, ampacity, cable, chemistry, regions
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.errors import FieldProblem
from calc.physics import circuit, conductor, fault, fuse
from calc.result import Axis, Figure, Level, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

SHARE_BOAT_RULE = 1.5  # 33 CFR 183.455(c)(1): below 50 V
VOLTAGE_BOAT_RULE = 50.0  # V, likewise
DISTANCE_BARE = 7 * 0.0254  # m, 33 CFR 183.455(b)(1)
DISTANCE_SHEATHED = 40 * 0.0254  # m, 33 CFR 183.455(b)(2)
RESISTANCE_WORN = 2.0  # an old, empty or cold battery against one measured in good order; common practice
CAPACITY_LARGE = 500 * 3600.0  # C: from here ABYC E-11 asks for the maker's short-circuit figure
CRANKING_LARGE = 2200.0  # A, likewise
INTERRUPT_BLADE = 1000.0  # A at 32 V, read in a data sheet of blade fuses
SHARE_TO_CLEAR = 2.0  # of the rating: at 135 % a large blade fuse may take half an hour, at 200 % under a minute
PARTS = (32.0, 58.0, 80.0, 125.0)  # V, what fuses and holders are made for; common practice
AMBIENT_WARM = 45.0  # °C: from here a fuse's own derating wants a look; common practice

MATERIALS = {"pvc": 160.0, "xlpe-epr": 250.0, "rubber": 200.0, "silicone": 350.0}  # °C in a fault, IEC 60364-5-54
FAMILIES = {
    "unknown": "not chosen yet, or not listed here",
    "blade-regular": "blade fuse of the regular size",
    "blade-large": "blade fuse of the large size",
    "bolt-in": "bolt-in strip fuse",
}

FIELDS = (
    Field(
        "current_max", "Largest continuous DC current, at the cut-out", "A", default="120 A", minimum="0.1 A", maximum="2000 A",
        tolerance="5 %", basis="common practice: type plates are good to about 5 %",
        hint="Mean current at the lowest voltage the inverter works at, not at 12 V.",
    ),
    cable.area(Field("area", "Cable cross-section", "mm²", default="50 mm²", minimum="0.5 mm²", maximum="120 mm²",
                     hint="Printed on the cable, in mm² or AWG. A width in mm is something else."), "1/0 AWG"),
    cable.LENGTH_ONE_WAY,
    ampacity.RULE,
    Field("voltage_dc", "Nominal battery voltage", "V", default="12 V", minimum="6 V", maximum="60 V"),
    chemistry.CHEMISTRY,
    Field("capacity", "Capacity of one battery, or of one string in series", "Ah", default="100 Ah", minimum="1 Ah", maximum="2000 Ah",
          unknown=Unknown("200 Ah", "100 Ah", "400 Ah", "common practice: what vehicles and boats carry"),
          hint="Batteries in series keep the capacity of one."),
    Field("strings", "Strings side by side", "", default="1", minimum="1", maximum="40", hint="Batteries, or series strings, in parallel."),
    Choice("fused_at", "Where a fuse sits, or will sit", {"battery": "at the battery", "far-end": "only at the other end", "both": "at both ends", "none": "nowhere yet"}, default="battery"),
    Choice("other_source", "Another source at the other end", {"no": "no", "yes": "yes: a charger, an alternator, a second battery"}, default="no",
           hint="Anything that can push current into a short on this cable."),
    regions.REGION,
    Choice("string_fuses", "Each string has a fuse of its own", {"no": "no", "yes": "yes"}, default="no", more=True),
    Choice("fuse_rule", "How high the fuse may go", {"cable": "never above what the cable may carry", "us-boats-150": "United States boats below 50 V: up to 150 % of it (33 CFR 183.455)"}, default="cable", more=True),
    Field("cable_ampacity", "Heating current the cable may carry, if known", "A", minimum="1 A", maximum="2000 A",
          hint="From “Which cable?” or an electrician. In place of the rule.", more=True),
    Field("battery_resistance", "Resistance of one string, first milliseconds", "mΩ", minimum="0.05 mΩ", maximum="1000 mΩ",
          tolerance="30 %", basis="common practice: it depends on charge, warmth and age",
          hint="In place of the capacity. A two-load test of half a minute reads too high for this.", more=True),
    Field("short_circuit_current", "Short-circuit current of one string", "A", minimum="10 A", maximum="100 kA", tolerance="10 %",
          basis="common practice for a data sheet", hint="From the battery's data sheet: the best figure. In place of the capacity.", more=True),
    Field("surge_current", "Surge current", "A", minimum="0 A", maximum="10000 A", above_minimum=True, hint="A motor's start, on the DC side.", more=True),
    Field("surge_time", "Surge time", "s", minimum="0.001 s", maximum="3600 s", hint="How long it lasts.", more=True),
    Choice("fuse_family", "Kind of fuse", FAMILIES, default="unknown", more=True),
    Field("fuse_fitted", "Rating of a fuse to check", "A", minimum="0.5 A", maximum="2000 A", hint="One you have.", more=True),
    Field("fuse_voltage", "Its DC voltage rating", "V", minimum="6 V", maximum="1500 V", hint="An AC figure does not count.", more=True),
    Field("fuse_interrupt", "Its interrupt rating at that DC voltage", "A", minimum="10 A", maximum="300 kA", hint="Breaking capacity, often in kA.", more=True),
    Field("clearing_time", "Time the fuse takes at the smallest fault", "s", minimum="0.001 s", maximum="3600 s", hint="From its curve, at the smallest fault current given here.", more=True),
    Field("fuse_energy", "Its total clearing I²t", "A²·s", minimum="1 A²·s", maximum="1000000000 A²·s", hint="From its sheet: for faults cleared in less than 0.1 s.", more=True),
    Field("share_left", "Share of its rating the fuse keeps in the heat", "", default="1", minimum="0.5", maximum="1", hint="From its sheet, at the temperature around it.", more=True,
          unknown=Unknown("0.9", "0.8", "1", "common practice: a warm locker")),
    Field("distance", "Cable from the battery post to the fuse", "m", default="0.15 m", minimum="0 m", maximum="50 m", hint="Along the cable.", more=True),
    Choice("sheathed", "That piece runs in a sheath or enclosure", {"no": "no", "yes": "yes, throughout"}, default="no", more=True),
    Field("voltage_charge_max", "Highest charging voltage, if known", "V", minimum="6 V", maximum="80 V", hint="Equalising counts. Left blank: the highest usual for the kind of battery.", more=True),
    Field("isolator_voltage", "Isolator's DC voltage rating", "V", minimum="6 V", maximum="1500 V", more=True),
    Choice("switchgear", "Breakers and isolators on the DC side are made for", {"dc": "direct current", "ac": "alternating current only", "none": "there are none"}, default="none", more=True),
    Field("cranking_current", "Cold cranking current of the bank", "A", minimum="50 A", maximum="20000 A", hint="Sum of the labels' CCA; for ABYC E-11.", more=True),
    Choice("material", "Insulation of the cable", {"pvc": "PVC, or not known", "xlpe-epr": "XLPE or EPR", "rubber": "rubber for 60 °C", "silicone": "silicone"}, default="pvc", more=True),
    ampacity.INSULATION,
    ampacity.TERMINAL_TEMPERATURE,
    ampacity.AMBIENT,
    ampacity.ENGINE_SPACE,
    ampacity.BUNDLE,
    cable.CONDUCTOR,
    ampacity.RIPPLE,
    Field("joint_resistance", "Joints, fuse and isolator together", "mΩ", default="1.5 mΩ", minimum="0 mΩ", maximum="1000 mΩ",
          tolerance="50 %", basis="common practice", more=True,
          unknown=Unknown("1.5 mΩ", "0.5 mΩ", "4 mΩ", "common practice: fuse, isolator and eight lugs, good to poor")),
    *ac_power.FIELDS,
)  # fmt: skip

VERDICTS = {
    "fits": "a rating is given",
    "none-fits": "no fuse fits",
    "too-hot": "the cable is too thin for the current",
    "no-size": "no rating is given",
}
RIDES = {
    "no-surge": "no surge entered",
    "rides-through": "it rides through",
    "may-open": "it may open",
    "opens": "it opens",
    "not-known": "not known: ask for its curve",
}

PLACES = {
    "right": "as it should be",
    "none": "there is no fuse",
    "far-end": "at the wrong end",
    "one-end": "at one end of a cable between two sources",
    "strings": "strings without fuses of their own",
    "too-far": "too far from the battery",
}

ANSWERS = (
    Answer("verdict", "Verdict", choices=VERDICTS, main=True),
    Answer("rating", "Fuse", "A", main=True, stepped=True),
    Answer("voltage_rating_min", "Least DC voltage rating", "V", main=True),
    Answer("interrupt_rating_min", "Least interrupt rating", "A", main=True),
    Answer("prospective_fault_current_max", "Fault current at the fuse, the most", "A", main=True),
    Answer("prospective_fault_current_min", "Fault current at the far end, the least", "A"),
    Answer("rating_needed", "Rating the current asks for", "A"),
    Answer("current_rms", "DC current, heating value", "A"),
    Answer("ampacity", "Heating current the cable may carry here", "A"),
    Answer("rating_max", "Highest rating allowed", "A"),
    Answer("rating_wanted", "Smallest standard rating that carries the current", "A", stepped=True),
    Answer("area_for_rating", "Cable that allows that rating", "mm²", stepped=True, quiet=True),
    Answer("placement", "Where the fuses sit", choices=PLACES),
    Answer("surge", "Surge", choices=RIDES),
    Answer("surge_share", "Surge of the fuse's rating", "%", quiet=True),
    Answer("adiabatic_k", "Factor k of the cable", "A·s^0.5/mm²"),
    Answer("area_min", "Least cross-section in a fault", "mm²", quiet=True),
    Answer("time_withstand", "How long the cable stands the least fault", "s"),
    Answer("energy_withstand", "I²t the cable stands", "kA²·s"),
    Answer("current_into_string", "Current into a fault within one string", "A", quiet=True),
    Answer("distance_max", "Longest cable from post to fuse", "m"),
)


def _check(v):
    ac_power.check(v, v.current_max, v.voltage_dc)
    cable.check_area("area", v.area, v.conductor)
    if v.rule is not None:
        ampacity.check(_run(v))
        ampacity.check_area("area", _run(v))
    if v.strings != int(v.strings):
        raise FieldProblem("strings", "enter a whole number of strings")
    if v.insulation >= MATERIALS[v.material]:
        raise FieldProblem("insulation", f"insulation that may reach {MATERIALS[v.material]:.0f} °C in a fault is not rated {v.insulation:.0f} °C: check the two")
    if (v.surge_current is None) != (v.surge_time is None):
        missing = "surge_time" if v.surge_time is None else "surge_current"
        raise FieldProblem(missing, "a surge has a current and a time: enter both, or neither")
    if v.fuse_rule == "us-boats-150" and v.voltage_dc >= VOLTAGE_BOAT_RULE:
        raise FieldProblem("fuse_rule", "the 150 % hold below 50 V only: choose the cable's own limit")
    if v.voltage_charge_max is not None and v.voltage_charge_max < v.voltage_dc:
        raise FieldProblem("voltage_charge_max", f"a battery of {restate(v.voltage_dc, 'V')} is charged above that: enter the highest voltage the charger reaches")
    if v.distance > v.length_one_way:
        raise FieldProblem("distance", f"the fuse sits within the cable's {regions.length(v, v.length_one_way)}: enter the part before it")


def _run(v):
    return ampacity.Run(v, voltage_nominal=v.voltage_dc)


def _current(v):
    return ac_power.current_dc(v, v.current_max)


def _allowed(v, area):
    """What a size may carry: as entered, or by the rule; None where no table read says it."""
    if v.rule is None:
        return v.cable_ampacity
    return ampacity.ampacity(_run(v), area)[0] if ampacity.size_allowed(v) else None


@cache
def ratings():
    """Standard ratings, small to large.

    Returns
    -------
    tuple of float
        [A].
    """
    return tuple(tables.load("fuse_ratings").column("rating"))


def next_rating(needed):
    """Smallest standard rating not below a current.

    Parameters
    ----------
    needed : float
        [A].

    Returns
    -------
    float or None
        Rating [A]; None above the largest.
    """
    return next((rating for rating in ratings() if rating >= needed * (1 - 1e-9)), None)


def _ceiling(v, allowed):
    return allowed * (SHARE_BOAT_RULE if v.fuse_rule == "us-boats-150" else 1.0)


def _evaluate(v):
    heating = circuit.current_rms(_current(v), v.ripple)
    needed = fuse.rating_needed(heating, fuse.LOADING, v.share_left)
    allowed, wanted = _allowed(v, v.area), next_rating(needed)
    out = dict.fromkeys(answer.name for answer in ANSWERS) | {
        "current_rms": heating, "rating_needed": needed, "ampacity": allowed, "rating_wanted": wanted,
        "placement": _placement(v), "voltage_rating_min": _voltage_max(v), "distance_max": _distance_max(v),
    }  # fmt: skip
    out |= _rated(v, heating, allowed, wanted)
    out |= _faults(v)
    fitted = v.fuse_fitted or out["rating"]
    return out | _surge(v, fitted) | _stands(v, fitted, out["prospective_fault_current_min"])


def _rated(v, heating, allowed, wanted):
    if allowed is None:
        return {"verdict": "no-size"}
    ceiling = _ceiling(v, allowed)
    fits = wanted is not None and wanted <= ceiling * (1 + 1e-9)
    verdict = "too-hot" if heating > allowed * (1 + 1e-9) else "fits" if fits else "none-fits"
    return {
        "verdict": verdict,
        "rating": wanted if verdict == "fits" else None,
        "rating_max": ceiling,
        "area_for_rating": None if wanted is None or v.rule is None else _area_for(v, wanted),
    }


def _distance_max(v):
    return DISTANCE_SHEATHED if v.sheathed == "yes" else DISTANCE_BARE


def _placement(v):
    """The gravest thing wrong with where the fuses sit."""
    wrong = {
        "none": v.fused_at == "none",
        "far-end": v.fused_at == "far-end",
        "one-end": v.other_source == "yes" and v.fused_at != "both",
        "strings": v.strings > 1 and v.string_fuses == "no",
        "too-far": v.distance > _distance_max(v) * (1 + 1e-9),
    }
    return next((name for name, holds in wrong.items() if holds), "right")


def _area_for(v, wanted):
    """Smallest size of this kind of cable that may carry as much as a fuse is rated."""
    carried = ((area, _allowed(v, area)) for area, _ in cable.sizes(v.conductor))
    return next((area for area, allowed in carried if allowed is not None and allowed >= wanted), None)


def _voltage_max(v):
    if v.voltage_charge_max is not None:
        return v.voltage_charge_max
    return chemistry.facts(v.chemistry).voltage_charge_max * chemistry.cells(v.chemistry, v.voltage_dc)


def _voltage_full(v):
    """What a battery that is held full drives into a short."""
    return chemistry.facts(v.chemistry).voltage_float * chemistry.cells(v.chemistry, v.voltage_dc)


def _voltage_empty(v):
    return chemistry.facts(v.chemistry).voltage_discharge_min * chemistry.cells(v.chemistry, v.voltage_dc)


def _by_capacity(v):
    """Least and most resistance times capacity of a 12 V block of this kind."""
    kind = chemistry.LITHIUM if v.chemistry == chemistry.LITHIUM else "lead-acid"
    return next(row for row in tables.load("short_circuit_resistance").values if row["kind"] == kind)


def _string_resistances(v):
    """Resistance of one string at its least, for breaking, and at its most, for clearing."""
    if v.capacity is not None:
        row, blocks = _by_capacity(v), float(chemistry.blocks(v.voltage_dc))
        return tuple(fault.resistance_string(row[end], v.capacity, blocks) for end in ("least", "most"))
    least = v.battery_resistance if v.battery_resistance is not None else _voltage_full(v) / v.short_circuit_current
    return least, least * RESISTANCE_WORN


def _lead_resistance(v):
    """Of the piece before the fuse, one way and cold: as little as may stand in a fault's way."""
    return cable.resistance_per_length(v.area, v.conductor) * v.distance


def _cable_resistance(v):
    """Both ways, at the temperature the insulation stands: as much as may stand in a fault's way."""
    per_length = cable.resistance_per_length(v.area, v.conductor)
    return conductor.resistance_loop(per_length, v.length_one_way, v.insulation - 20.0, conductor.TEMPERATURE_COEFFICIENT_COPPER)


def _faults(v):
    least, most = _string_resistances(v)
    highest = fault.current_prospective(_voltage_full(v), least, v.strings, _lead_resistance(v))
    lowest = fault.current_prospective(_voltage_empty(v), most, v.strings, _cable_resistance(v) + v.joint_resistance)
    table = tables.load("interrupting_abyc_e11").values
    asked = 0.0 if v.cranking_current is None else [row["main"] for row in table if row["cranking_from"] <= v.cranking_current][-1]
    return {
        "prospective_fault_current_max": highest,
        "prospective_fault_current_min": lowest,
        "interrupt_rating_min": max(highest, asked),
        "current_into_string": fault.current_into_string(_voltage_full(v), least, v.strings) if v.strings > 1 else None,
    }


def gate(family, share, bound):
    """The time gate a current is judged by.

    Parameters
    ----------
    family : str
        A family of the table fuse_time_gates.
    share : float
        Current over rating.
    bound : str
        "least": the fuse holds at least so long, read at the next higher share listed;
        "most": it has opened after that, read at the next lower.

    Returns
    -------
    dict or None
        Row of the table; None outside it.
    """
    rows = [row for row in tables.load("fuse_time_gates").values if row["family"] == family and row["bound"] == bound]
    if bound == "least":
        return next((row for row in rows if row["share"] >= share * (1 - 1e-9)), None)
    return next((row for row in reversed(rows) if row["share"] <= share * (1 + 1e-9)), None)


def _surge(v, fitted):
    if v.surge_current is None:
        return {"surge": "no-surge"}
    if fitted is None:
        return {"surge": "not-known"}
    share = v.surge_current / fitted
    return {"surge_share": share, "surge": _rides(v.fuse_family, share, v.surge_time)}


def _rides(family, share, duration):
    """A row from memory decides nothing."""
    if share <= 1:
        return "rides-through"
    holds, opens = gate(family, share, "least"), gate(family, share, "most")
    if holds is not None and holds["known"] == "found" and duration < holds["time"]:
        return "rides-through"
    if opens is not None and opens["known"] == "found" and duration > opens["time"]:
        return "opens"
    decisive = [row for row in (holds, opens) if row is not None]
    if not decisive or any(row["known"] != "found" for row in decisive):
        return "not-known"
    return "may-open"


def _stands(v, fitted, current):
    """Whether the cable stands a fault until the fuse has cleared it."""
    k = fuse.adiabatic_factor(v.insulation, MATERIALS[v.material], fuse.HEATING_CONSTANT_COPPER, fuse.TEMPERATURE_ZERO_COPPER)
    duration = _clearing_time(v, fitted, current)
    areas = []
    if duration is not None and duration >= fuse.DURATION_ADIABATIC[0]:
        areas.append(fuse.area_adiabatic(current, duration, k))
    if v.fuse_energy is not None:
        areas.append(fuse.area_for_energy(v.fuse_energy, k))
    return {
        "adiabatic_k": k,
        "area_min": max(areas, default=None),
        "time_withstand": fuse.time_withstand(v.area, current, k),
        "energy_withstand": fuse.energy_withstand(v.area, k),
    }


def _clearing_time(v, fitted, current):
    """Longest time to clear the least fault: from the fuse's curve, or from a gate that was read."""
    if v.clearing_time is not None or fitted is None:
        return v.clearing_time
    row = gate(v.fuse_family, current / fitted, "most")
    return row["time"] if row is not None and row["known"] == "found" else None


def _explain(case):
    _work(case)
    _judge(case)
    _judge_faults(case)
    _judge_parts(case)
    _advise(case)


def _work(case):
    v, o = case.values, case.outputs
    ac_power.explain(case, _current(v))
    case.step("I_rms", "heating current", "I*sqrt(1 + r**2/2)", {"I": (_current(v), "A"), "r": (v.ripple, "")}, o.current_rms, "A", "ripple")
    case.step("I_need", "rating the current asks for", "I_rms/(l*f)", {"I_rms": (o.current_rms, "A"), "l": (fuse.LOADING, ""), "f": (v.share_left, "")}, o.rating_needed, "A", "practice", "80 % of the rating for hours")
    if v.rule is not None and o.ampacity is not None:
        ampacity.explain_ampacity(_Seen(case), v.area, o.ampacity)
    if v.fuse_rule == "us-boats-150" and o.ampacity is not None:
        case.step("I_fuse", "highest rating allowed", "s*I_allowed", {"s": (SHARE_BOAT_RULE, ""), "I_allowed": (o.ampacity, "A")}, o.rating_max, "A", "fuse-place", "(c)(1)")
    _work_faults(case)
    k_inputs = {"K": (fuse.HEATING_CONSTANT_COPPER, "A·s^0.5/mm²"), "B": (fuse.TEMPERATURE_ZERO_COPPER, "°C"), "T_end": (MATERIALS[v.material], "°C"), "T_start": (v.insulation, "°C")}
    case.step("k", "factor of the cable, fully warm before the fault", "K*sqrt(ln((B + T_end)/(B + T_start)))", k_inputs, o.adiabatic_k, "A·s^0.5/mm²", "adiabatic-k", "Annex A")
    stands = {"k": (o.adiabatic_k, "A·s^0.5/mm²"), "S": (v.area, "mm²")}
    case.step("t_stand", "how long the cable stands the least fault", "(k*S/I_least)**2", {**stands, "I_least": (o.prospective_fault_current_min, "A")}, o.time_withstand, "s", "adiabatic-k")
    case.step("E_stand", "I²t it stands", "(k*S)**2", stands, o.energy_withstand, "kA²·s", "adiabatic-k")


class _Seen:
    """The case as `ampacity` reads it, with the battery's voltage under the name used there."""

    def __init__(self, case):
        self.values = _run(case.values)
        self.step = case.step
        self.cite = case.cite


def _work_faults(case):
    v, o = case.values, case.outputs
    least, most = _string_resistances(v)
    if v.capacity is not None:
        row = _by_capacity(v)
        for symbol, words, end, value in (("R_new", "one string, new and full", "least", least), ("R_old", "one string, old and empty", "most", most)):
            parts = {"rho_C": (row[end], "Ω·Ah"), "n": (float(chemistry.blocks(v.voltage_dc)), ""), "C": (v.capacity, "Ah")}
            case.step(symbol, words, "rho_C*n/C", parts, value, "mΩ", "practice", "milliseconds")
    elif v.short_circuit_current is not None:
        case.step("R_new", "one string, from its short-circuit current", "V_full/I_short", {"V_full": (_voltage_full(v), "V"), "I_short": (v.short_circuit_current, "A")}, least, "mΩ", "ohm")
    if v.capacity is None:
        case.step("R_old", "one string, old, empty or cold", "w*R_new", {"w": (RESISTANCE_WORN, ""), "R_new": (least, "mΩ")}, most, "mΩ", "practice")
    source, clause = cable.source_for(case, v.area, v.conductor)
    per_length = (cable.resistance_per_length(v.area, v.conductor), "Ω/km")
    case.step("R_lead", "cable before the fuse, cold, one way", "R_20*d", {"R_20": per_length, "d": (v.distance, "m")}, _lead_resistance(v), "mΩ", source, clause)
    case.step("I_most", "fault at the fuse, the most", "V_full/(R_new/N + R_lead)",
              {"V_full": (_voltage_full(v), "V"), "R_new": (least, "mΩ"), "N": (v.strings, ""), "R_lead": (_lead_resistance(v), "mΩ")}, o.prospective_fault_current_max, "A", "short-circuit")  # fmt: skip
    case.step("R_cable", "whole cable, both ways, hot", "R_20*(1 + alpha_20*(T - T_20))*2*L",
              {"R_20": per_length, "alpha_20": (conductor.TEMPERATURE_COEFFICIENT_COPPER, "1/K"), "T": (v.insulation, "°C"), "T_20": (20.0, "°C"), "L": (v.length_one_way, "m")},
              _cable_resistance(v), "mΩ", source, clause)  # fmt: skip
    case.step("I_least", "fault at the far end, the least", "V_empty/(R_old/N + R_cable + R_joints)",
              {"V_empty": (_voltage_empty(v), "V"), "R_old": (most, "mΩ"), "N": (v.strings, ""), "R_cable": (_cable_resistance(v), "mΩ"), "R_joints": (v.joint_resistance, "mΩ")},
              o.prospective_fault_current_min, "A", "short-circuit")  # fmt: skip


def _judge(case):
    """The sentence, and whether a fuse fits between current and cable."""
    v, o = case.values, case.outputs
    needs = f"{say(o.rating_needed, 'A')} or more"
    if o.verdict == "fits":
        breaks = case.high("interrupt_rating_min") or o.interrupt_rating_min
        where = "at each end of the cable" if v.fused_at == "both" or v.other_source == "yes" else "at the battery"
        case.answer = (f"Use a {restate(o.rating, 'A')} fuse {where}, made for at least {say(o.voltage_rating_min, 'V')} DC and able to break {say(breaks, 'kA', 2)}. "
                       f"The current asks for {needs}, and the cable allows {say(o.rating_max, 'A')}.")  # fmt: skip
    elif o.verdict == "none-fits":
        case.answer = f"No standard fuse fits: the current asks for {needs}, and the cable allows {say(o.rating_max, 'A')}. {_way_out(case)}"
        case.find("no-fuse-fits", "stop", f"{_gap(o)} {_way_out(case)} A fuse above the cable's limit lets the cable burn first.")
    elif o.verdict == "too-hot":
        case.answer = f"No fuse mends this: {say(o.current_rms, 'A')} of heating current would flow, and the cable may carry {say(o.ampacity, 'A')}. {_way_out(case)}"
        case.find("conductor-too-hot", "stop", f"The conductor would pass the temperature its insulation or terminals stand. {_way_out(case)}")
    else:
        case.answer = f"No rating is given: the current asks for {needs}, but what the cable may carry is not known here."
        case.find("rating-not-held", "stop", ampacity.why_no_size(v))


def _gap(o):
    """Why no rating fits: the cable allows less than is asked for, or nothing standard lies between."""
    needed, most = say(o.rating_needed, "A"), say(o.rating_max, "A")
    if o.rating_needed > o.rating_max:
        return f"A fuse that carries the current has {needed} or more, and the cable allows no more than {most}."
    return f"No standard rating lies between the {needed} asked for and the {most} the cable allows."


def _way_out(case):
    v, o = case.values, case.outputs
    thicker = f"Use {cable.said(o.area_for_rating, v)} cable" if o.area_for_rating is not None else "Use a cable that may carry more"
    if o.rating_wanted is None:
        return "Go to a higher battery voltage: no single fuse here carries this current."
    allows = f", which allows a {restate(o.rating_wanted, 'A')} fuse"
    return f"{thicker}{allows}, or go to a higher battery voltage." if v.voltage_dc < 45 else f"{thicker}{allows}."


def _judge_faults(case):
    v, o = case.values, case.outputs
    if v.fused_at == "none":
        case.find("no-fuse", "stop", "A battery cable without a fuse burns in a short: do not connect it before the fuse is in, however short it is.")
    if v.fused_at == "far-end":
        case.find("fuse-far-end", "stop", "A fuse at the far end does not protect the cable: the battery feeds a short before it. It belongs at the battery.")
    if v.other_source == "yes" and v.fused_at != "both":
        case.find("two-sources", "stop", "Two sources feed this cable: a short between them is fed from both ends. It needs a fuse at each end, each at its source.")
    if v.strings > 1 and v.string_fuses == "no":
        most = case.high("current_into_string") or o.current_into_string
        case.find(
            "strings-unfused", "stop",
            f"Each string needs a fuse of its own. A fault inside one is fed by the others with up to {say(most, 'kA', 2)} through its lead, and the main fuse never sees it.",
        )  # fmt: skip
    if o.area_min is not None and o.area_min > v.area * (1 + 1e-9):
        case.find("adiabatic-failed", "stop", f"In a fault the cable passes the limit of its insulation before the fuse has cleared: {cable.said(o.area_min, v)} would be needed, it is {cable.said(v.area, v)}. Use a faster fuse or a thicker cable.")
        case.answer += " But in a fault this one does not protect the cable in time."
    elif o.area_min is None:
        case.find(
            "clearing-not-known", "caution",
            f"Whether the fuse clears in time is not known here. Ask for its curve. At {say(o.prospective_fault_current_min, 'A')}, the least a short at the far end draws, it has to open within "
            f"{say(min(o.time_withstand, fuse.DURATION_ADIABATIC[1]), 's', 2)}. Its total I²t has to lie below {say(o.energy_withstand, 'kA²·s', 2)}.",
        )  # fmt: skip
    elif v.fuse_energy is None:
        case.find("energy-not-known", "note", f"Faults cleared in less than 0.1 s go by the fuse's I²t, which is not known: ask that its total I²t lies below {say(o.energy_withstand, 'kA²·s', 2)}.")
    _judge_fitted(case)


def _judge_fitted(case):
    v, o = case.values, case.outputs
    used = v.fuse_fitted or o.rating
    if used is not None and o.prospective_fault_current_min < SHARE_TO_CLEAR * used:
        case.find("fault-small", "caution", f"A short at the far end may draw no more than {say(o.prospective_fault_current_min, 'A')}, less than twice the {restate(used, 'A')} fuse. That may glow for minutes before it opens. A shorter or thicker cable draws more.")
    if v.fuse_fitted is not None and o.rating_max is not None and v.fuse_fitted > o.rating_max * (1 + 1e-9):
        case.find("fuse-above-cable", "stop", f"A {restate(v.fuse_fitted, 'A')} fuse is more than this cable allows ({say(o.rating_max, 'A')}): the cable burns before it opens. Fit a smaller fuse, or a thicker cable.")
    if v.fuse_fitted is not None and v.fuse_fitted < o.rating_needed * (1 - 1e-9):
        case.find("fuse-small", "caution", f"A {restate(v.fuse_fitted, 'A')} fuse is too small: {say(o.current_rms, 'A')} of heating current asks for {say(o.rating_needed, 'A')} or more. It ages and opens without a fault.")
    if used is not None and o.ampacity is not None and used > o.ampacity * (1 + 1e-9) and used <= o.rating_max * (1 + 1e-9):
        case.find("above-ampacity", "caution", f"A {restate(used, 'A')} fuse is above the {say(o.ampacity, 'A')} the cable may carry. The United States boat rule allows it below 50 V, but a lasting overload can then overheat the cable. It is no rule for vehicles.")


def _judge_parts(case):
    v, o = case.values, case.outputs
    most = case.high("interrupt_rating_min") or o.interrupt_rating_min
    interrupt = v.fuse_interrupt if v.fuse_interrupt is not None or not v.fuse_family.startswith("blade") else INTERRUPT_BLADE
    if interrupt is not None and interrupt < most:
        case.find("interrupt-low", "stop", f"This fuse breaks {say(interrupt, 'kA', 2)}, and the bank may drive {say(most, 'kA', 2)} into a short: it can burst and go on burning. Use one that breaks more.")
    if v.fuse_voltage is not None and v.fuse_voltage < o.voltage_rating_min:
        case.find("fuse-volts", "stop", f"This fuse is made for {restate(v.fuse_voltage, 'V')}; the battery is charged at up to {say(o.voltage_rating_min, 'V')}. Above its voltage a fuse does not put out its arc.")
    if v.isolator_voltage is not None and v.isolator_voltage < o.voltage_rating_min:
        case.find("isolator-volts", "stop", f"The isolator is made for {restate(v.isolator_voltage, 'V')}, less than the {say(o.voltage_rating_min, 'V')} the battery is charged at.")
    if v.switchgear == "ac":
        case.find("ac-on-dc", "stop", "A breaker or isolator made for alternating current only may never put out a DC arc: use one with a DC rating.")
    low = [f"{volts:.0f} V" for volts in PARTS if volts < o.voltage_rating_min]
    if low:
        case.find("parts-volts", "caution", f"Fuses and holders made for {' or '.join(low)} are out: the battery is charged at up to {say(o.voltage_rating_min, 'V')}.")
    if v.distance > o.distance_max * (1 + 1e-9):
        _judge_distance(case)


def _judge_distance(case):
    v, o = case.values, case.outputs
    far = f"The fuse sits {regions.length(v, v.distance)} from the post; 33 CFR 183.455 allows {say(o.distance_max, 'm')}{regions.feet(v, o.distance_max)}"
    sheath = "" if v.sheathed == "yes" else f", or {say(DISTANCE_SHEATHED, 'm')}{regions.feet(v, DISTANCE_SHEATHED)} in a sheath or enclosure"
    if v.rule == "us-boats-33-cfr-183":
        case.find("fuse-too-far", "stop", f"{far}{sheath}. Nothing protects the piece before it.")
    else:
        case.find("fuse-far", "caution", f"{far}{sheath}. Where that is not your rule it is still a good one: nothing protects the piece before the fuse.")


def _advise(case):
    v, o = case.values, case.outputs
    _advise_surge(case)
    if o.verdict == "fits" and (case.high("rating") is None or case.high("rating") > o.rating_max):
        case.find("rating-close", "caution", "It is close: with the inputs at their bad end the current asks for more than this cable allows.")
    if v.capacity is not None:
        case.find("fault-estimated", "caution", "The fault current is estimated from kind and capacity, on the high side. Ask the battery's maker for its short-circuit current before you choose the interrupt rating.")
    if (v.capacity is not None and v.capacity * v.strings > CAPACITY_LARGE) or (v.cranking_current or 0.0) > CRANKING_LARGE:
        case.find("bank-large", "caution", "On a bank this large ABYC E-11 asks for the maker's short-circuit figure. Where that is above 10 kA, it asks for 20 kA at 125 V DC.")
    if max(v.ambient, ampacity.ambient_of(v)) >= AMBIENT_WARM and v.share_left == 1:
        case.find("fuse-warm", "caution", "In this heat a fuse opens below its rating: read on its sheet what share is left, and enter it.")
    if v.rule == "iso-13297-boats" or v.rule == "us-boats-33-cfr-183":
        case.cite("fuse-place-memory")
        case.find("place-from-memory", "note", "From memory, to be looked up: 33 CFR 183.460 has the battery's own fuse within 72 in of it, ISO 10133 within 200 mm.")
    case.find("one-fuse-one-job", "note", "The fuse protects the cable, not the inverter. A fuse that blew is replaced by the same rating, after the cause is found.")
    case.find("fuse-place", "note", "It sits as near the battery's positive post as it can. 33 CFR 183.455 allows 7 in (0.18 m), or 40 in (1.02 m) in a sheath. Keep it out of the battery's gas.")


def _advise_surge(case):
    v, o = case.values, case.outputs
    if o.surge == "not-known":
        hint = ""
        if o.surge_share is not None and (row := gate(v.fuse_family, o.surge_share, "least")) is not None:
            hint = f" From memory such a fuse holds {restate(row['share'], '%')} for at least {restate(row['time'], 's')}, which decides nothing."
        case.find("surge-not-known", "caution", f"Whether it rides through the surge is not known here: ask for its curve.{hint}")
    elif o.surge in ("may-open", "opens"):
        verb = "opens" if o.surge == "opens" else "may open"
        case.find("surge-opens", "caution", f"At {say(o.surge_share, '%')} of its rating for {restate(v.surge_time, 's')} this fuse {verb}. Use a slower kind or start less at once; a larger rating only where the cable allows it.")


def _draw(case):
    o = case.outputs
    named = (("heats", o.current_rms), ("needs", o.rating_needed), ("fuse", case.values.fuse_fitted or o.rating), ("cable", o.ampacity))
    bars = tuple((float(place), amps) for place, (_, amps) in enumerate(named) if amps is not None)
    top = 1.15 * max(amps for _, amps in bars)
    ticks = tuple((float(place), words) for place, (words, _) in enumerate(named))
    levels = () if o.rating_max is None else (Level(f"allowed {say(o.rating_max, 'A')}", o.rating_max),)
    between = Figure(
        "The fuse between current and cable",
        "Heating current, the rating it asks for, the fuse, and what the cable may carry.",
        Axis("", "", -0.5, 3.5, ticks), Axis("current", "A", 0, max(top, 1.15 * (o.rating_max or 0.0))), (Series("current", bars, bars=True),), levels,
    )  # fmt: skip
    faults = ((0.0, o.prospective_fault_current_max / 1e3), (1.0, o.prospective_fault_current_min / 1e3))
    breaks = case.values.fuse_interrupt
    shorts = Figure(
        "Into a short",
        "The most current into a short at the fuse, which it has to break, and the least at the far end, which still has to open it.",
        Axis("", "", -0.5, 1.5, ((0.0, "at the fuse"), (1.0, "at the far end"))), Axis("current", "kA", 0, 1.15 * max(faults[0][1], (breaks or 0.0) / 1e3)),
        (Series("current", faults, bars=True),), () if breaks is None else (Level(f"breaks {say(breaks, 'kA', 2)}", breaks / 1e3),),
    )  # fmt: skip
    return [between, shorts]


CALCULATOR = Calculator(
    id="fuse",
    title="Which fuse?",
    question="Which fuse protects this battery cable, and can it break what the battery delivers?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
    alternatives=(
        (("rule",), ("cable_ampacity",)),
        (("capacity",), ("battery_resistance",), ("short_circuit_current",)),
        (("current_max",), ("power_ac", "voltage_min")),
    ),
)
