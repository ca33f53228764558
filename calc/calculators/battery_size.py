"""battery-size: how much battery?

Energy of the days without charge, over the share that will be used, times the factors for
cold, age and what was forgotten; made up from batteries one can buy, and held against the
currents they stand.
"""

from dataclasses import replace

from calc.calculators import chemistry
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.errors import FieldProblem
from calc.physics import bank, battery
from calc.result import Axis, Figure, Level, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

STRINGS_TO_QUESTION = 4  # side by side: above it, larger batteries or a higher voltage; common practice
CAPACITY_END = 0.8  # share left at which a battery counts as worn out; IEEE 485
DAY = 86400.0


def _specific(kind):
    likely, low, high = (restate(value, "Wh/kg") for value in (kind.specific_energy, kind.specific_energy_min, kind.specific_energy_max))
    return Unknown(likely, low, high, f"common practice for {chemistry.WORDS[kind.chemistry]}")


FIELDS = (
    Field(
        "energy_per_day", "Energy a day from the battery", "Wh", default="1200 Wh", minimum="1 Wh", maximum="200 kWh",
        tolerance="15 %", basis="common practice: a load list is good to about 15 %",
        unknown=Unknown("1200 Wh", "600 Wh", "2500 Wh", "common practice: a small household on wheels"),
        hint="On the DC side: inverter losses and standby are in it.",
    ),
    Field(
        "days", "Days without charge", "", default="2", minimum="0.1", maximum="30",
        unknown=Unknown("2", "1", "3", "common practice: a run of dull days, or a stay without driving"),
        hint="How long it must hold on its own.",
    ),
    chemistry.VOLTAGE_NOMINAL,
    replace(chemistry.CHEMISTRY, example=chemistry.LITHIUM),
    chemistry.DEPTH_LIMIT,
    Field("unit_capacity", "Capacity of one battery", "Ah", default="100 Ah", minimum="1 Ah", maximum="2000 Ah", hint="The one you would buy several of."),
    Field("unit_voltage", "Nominal voltage of one battery", "V", default="12 V", minimum="1.9 V", maximum="53 V",
          hint="2, 6, 12, 24 or 48 V; a lithium cell has 3.2 V.", more=True),
    chemistry.changed(chemistry.TEMPERATURE, default="10 °C"),
    Field(
        "ageing", "Factor for ageing", "", default="1.25", minimum="1", maximum="2",
        hint="1.25 where it is replaced at 80 % of its capacity (IEEE 485); 1 sizes for a new battery only.", more=True,
        unknown=Unknown("1.25", "1.1", "1.4", "common practice: replaced at 70 to 90 % of new"),
    ),
    Field(
        "design_margin", "Factor for what was forgotten", "", default="1.1", minimum="1", maximum="2",
        unknown=Unknown("1.1", "1", "1.15", "IEEE 485: 1.10 to 1.15"), more=True,
    ),
    Field(
        "hours_per_day", "Hours a day in which that energy is drawn", "h", default="24 h", minimum="0.1 h", maximum="24 h",
        unknown=Unknown("12 h", "4 h", "24 h", "common practice: evening and morning"),
        hint="A few hours mean a fast discharge, which a lead-acid battery holds less of.", more=True,
    ),
    chemistry.RATE_HOURS,
    chemistry.PEUKERT,
    Field("power_dc_max", "Largest steady power on the DC side", "W", minimum="0 W", maximum="60 kW", above_minimum=True,
          hint="What the inverter draws with everything on.", more=True),
    Field("charge_current", "Charging current, all chargers together", "A", minimum="0 A", maximum="2000 A", above_minimum=True,
          hint="The most they can push in at once.", more=True),
    Field("battery_current_limit", "Discharge limit of one protected battery", "A", minimum="0 A", maximum="2000 A", above_minimum=True,
          hint="On a lithium battery's label.", more=True),
    Field("series_limit", "Most batteries in series its protection stands", "", minimum="1", maximum="16",
          hint="On the label or in the manual of a lithium battery.", more=True),
    Field("strings_least", "Strings side by side, at least", "", default="1", minimum="1", maximum="40",
          hint="More than the energy asks for, where current or voltage decides.", more=True),
    Choice("charged_cold", "Charged at that temperature", {"yes": "yes, or it may be", "no": "no, it is warmed or not charged then"}, default="yes",
           hint="Matters for lithium below 0 °C.", more=True),
    Field("cycles", "Cycles at that depth, from the battery's sheet", "", minimum="1", maximum="20000",
          tolerance="30 %", basis="common practice: sheets count in a laboratory",
          hint="Left blank, no life is given: no curve that was read is held.", more=True),
    chemistry.by_chemistry(
        Field("specific_energy", "Energy by mass of such batteries", "Wh/kg", default="unknown", minimum="10 Wh/kg", maximum="300 Wh/kg",
              hint="Nominal watt-hours over kilograms, from a label.", more=True), _specific,
    ),
)  # fmt: skip

ANSWERS = (
    Answer("capacity_required", "Capacity required", "Ah", main=True),
    Answer("capacity_chosen", "Capacity of the bank", "Ah", main=True, stepped=True),
    Answer("strings_parallel", "Strings side by side", "", main=True, stepped=True),
    Answer("units_series", "Batteries in series in each", "", stepped=True),
    Answer("units_total", "Batteries altogether", "", main=True, stepped=True),
    Answer("mass", "Mass", "kg", main=True),
    Answer("energy_nominal", "Energy of the bank, nominal", "Wh", stepped=True),
    Answer("energy_usable", "Energy to your limit, new and warm", "Wh", stepped=True),
    Answer("days_held", "Days the bank holds at the end of its life, at its coldest", "day"),
    Answer("capacity_uncorrected", "Capacity before any factor", "Ah"),
    Answer("temperature_factor", "Temperature factor"),
    Answer("current_dc", "Mean current in the hours of use", "A"),
    Answer("discharge_current_usual", "Usual discharge current", "A", stepped=True),
    Answer("discharge_current_max", "Largest discharge current", "A", stepped=True),
    Answer("charge_current_usual", "Usual charge current", "A", stepped=True),
    Answer("charge_current_max", "Largest charge current", "A", stepped=True),
    Answer("power_dc_max_current", "Current at the largest power, battery low", "A", quiet=True),
    Answer("cycles_life", "Cycles", "", quiet=True),
    Answer("energy_throughput", "Energy in its life, if the sheet holds", "kWh", quiet=True),
)


def _check(v):
    chemistry.check_nominal("voltage_nominal", v.voltage_nominal)
    series = _series(v)
    if series < 1 or abs(v.voltage_nominal / v.unit_voltage / series - 1) > 0.08:
        raise FieldProblem("unit_voltage", f"batteries of {restate(v.unit_voltage, 'V')} do not add up to {restate(v.voltage_nominal, 'V')}: enter one that divides it")
    if v.strings_least % 1:
        raise FieldProblem("strings_least", "enter a whole number of strings")


def _series(v):
    return round(v.voltage_nominal / v.unit_voltage)


def _factor(v):
    return chemistry.temperature_factor(v.chemistry, v.temperature)


def _uncorrected(v):
    """Capacity before the factors, and the mean current and the hours behind it."""
    charge = battery.capacity_uncorrected(v.energy_per_day, v.days, v.voltage_nominal, v.depth_limit)
    hours = v.days * v.hours_per_day
    if v.chemistry == chemistry.LITHIUM:
        return charge, charge * v.depth_limit / hours, hours
    # The hours to empty it whole at this current: what Peukert's law is about.
    current = charge * v.depth_limit / hours
    return battery.capacity_for_time(current, hours / v.depth_limit, v.rate_hours, v.peukert), current, hours


def _evaluate(v):
    factor = _factor(v)
    uncorrected, current, _ = _uncorrected(v)
    required = battery.capacity_required(uncorrected, factor, v.ageing, v.design_margin)
    series, strings = _series(v), max(bank.strings_needed(required, v.unit_capacity), int(v.strings_least))
    capacity = strings * v.unit_capacity
    kind = chemistry.facts(v.chemistry)
    nominal = kind.voltage_cell * chemistry.cells(v.chemistry, v.voltage_nominal)
    energy = capacity * nominal
    limit = kind.discharge_rate_max * capacity
    if v.battery_current_limit is not None:
        limit = strings * v.battery_current_limit
    cold = v.temperature < kind.charge_temperature_min and v.charged_cold == "yes"
    low = kind.voltage_discharge_min * chemistry.cells(v.chemistry, v.voltage_nominal)
    return {
        "capacity_required": required,
        "capacity_chosen": capacity,
        "strings_parallel": strings,
        "units_series": series,
        "units_total": strings * series,
        "mass": battery.mass_of_energy(energy, v.specific_energy),
        "energy_nominal": energy,
        "energy_usable": energy * v.depth_limit,
        "days_held": DAY * v.days * capacity / (uncorrected * factor * v.ageing),
        "capacity_uncorrected": uncorrected,
        "temperature_factor": factor,
        "current_dc": current,
        "discharge_current_usual": kind.discharge_rate * capacity,
        "discharge_current_max": limit,
        "charge_current_usual": 0.0 if cold else kind.charge_rate * capacity,
        "charge_current_max": 0.0 if cold else kind.charge_rate_max * capacity,
        "power_dc_max_current": None if v.power_dc_max is None else v.power_dc_max / low,
        "cycles_life": v.cycles,
        "energy_throughput": None if v.cycles is None else battery.energy_throughput(energy, v.depth_limit, v.cycles, CAPACITY_END),
    }


def _explain(case):
    _work(case)
    v, o = case.values, case.outputs
    each = f"{restate(v.unit_voltage, 'V')}, {restate(v.unit_capacity, 'Ah')}"
    makeup = "one battery" if o.units_total == 1 else f"{o.units_total} batteries"
    held = f"{restate(v.energy_per_day, 'Wh')} a day for {restate(v.days, '')} {'day' if v.days == 1 else 'days'}"
    get = "Get"
    if v.series_limit is not None and o.units_series > v.series_limit:
        get = "Not with these batteries; the size is"
    elif v.battery_current_limit is not None and _current_most(o) > o.discharge_current_max:
        get = "Too little for the current. For the energy, get"
    case.answer = (
        f"{get} {restate(o.capacity_chosen, 'Ah')} at {restate(v.voltage_nominal, 'V')}: {makeup} of {each}{_layout(o)}, about {say(o.mass, 'kg', 2)}. "
        f"It holds {held}, using {restate(v.depth_limit, '%')} of it, even when old and at {restate(v.temperature, '°C')}."
    )
    _judge_currents(case)
    _judge_lithium(case)
    _advise(case)


def _layout(o):
    series, strings = o.units_series, o.strings_parallel
    if series == strings == 1:
        return ""
    if 1 in (strings, series):
        return ", all in series" if strings == 1 else ", all side by side"
    return f", in {strings} strings of {series} in series"


def _work(case):
    v, o = case.values, case.outputs
    _, current, hours = _uncorrected(v)
    case.step("Q", "charge drawn in the days", "E*N/V", {"E": (v.energy_per_day, "Wh"), "N": (v.days, ""), "V": (v.voltage_nominal, "V")}, current * hours, "Ah", "arithmetic")
    case.step("I", "mean current", "Q/(N*t_day)", {"Q": (current * hours, "Ah"), "N": (v.days, ""), "t_day": (v.hours_per_day, "h")}, current, "A", "arithmetic")
    if v.chemistry != chemistry.LITHIUM and hours / v.depth_limit < v.rate_hours:
        case.step("C_u", "uncorrected, at this fast discharge", "I*H*(N*t_day/(d*H))**(1/k)",
                  {"I": (current, "A"), "H": (v.rate_hours, "h"), "N": (v.days, ""), "t_day": (v.hours_per_day, "h"), "d": (v.depth_limit, "%"), "k": (v.peukert, "")},
                  o.capacity_uncorrected, "Ah", "peukert")  # fmt: skip
    else:
        case.step("C_u", "uncorrected", "Q/d", {"Q": (current * hours, "Ah"), "d": (v.depth_limit, "%")}, o.capacity_uncorrected, "Ah", "ieee485")
    chemistry.explain_temperature_factor(case, o.temperature_factor)
    case.step("C", "required", "C_u*F_T*F_a*F_d",
              {"C_u": (o.capacity_uncorrected, "Ah"), "F_T": (o.temperature_factor, ""), "F_a": (v.ageing, ""), "F_d": (v.design_margin, "")}, o.capacity_required, "Ah", "ieee485")  # fmt: skip
    case.step("C_bank", "the next bank up", "n*C_1", {"n": (float(o.strings_parallel), ""), "C_1": (v.unit_capacity, "Ah")}, o.capacity_chosen, "Ah", "arithmetic")
    kind = chemistry.facts(v.chemistry)
    cells = chemistry.cells(v.chemistry, v.voltage_nominal)
    case.step("E_bank", "nominal energy", "C_bank*n_cells*V_cell", {"C_bank": (o.capacity_chosen, "Ah"), "n_cells": (float(cells), ""), "V_cell": (kind.voltage_cell, "V")}, o.energy_nominal, "Wh", "arithmetic")
    case.step("m", "mass", "E_bank/e", {"E_bank": (o.energy_nominal, "Wh"), "e": (v.specific_energy, "Wh/kg")}, o.mass, "kg", "practice")
    if o.charge_current_max:
        case.step("I_charge", "largest charge current, from the chemistry", "c*C_bank", {"c": (kind.charge_rate_max, "A/Ah"), "C_bank": (o.capacity_chosen, "Ah")}, o.charge_current_max, "A", "battery-memory")
    if o.energy_throughput is not None:
        case.step("E_life", "energy in its life", "n_cycles*d*E_bank*(1 + a_end)/2",
                  {"n_cycles": (v.cycles, ""), "d": (v.depth_limit, "%"), "E_bank": (o.energy_nominal, "Wh"), "a_end": (CAPACITY_END, "%")}, o.energy_throughput, "kWh", "arithmetic", "cycles from your sheet")  # fmt: skip


def _current_most(o):
    return o.power_dc_max_current if o.power_dc_max_current is not None else o.current_dc


def _judge_currents(case):
    v, o = case.values, case.outputs
    drawn = _current_most(o)
    if drawn > o.discharge_current_max:
        words = f"{say(drawn, 'A', 2)} is above the {say(o.discharge_current_max, 'A', 2)} this bank gives"
        if v.battery_current_limit is not None:
            case.find("battery-limit", "stop", f"{words} before its protection opens and everything on it goes dark. Take more strings, batteries with a higher limit, or a higher voltage.")
        else:
            case.find("discharge-high", "caution", f"{words} by common limits (from memory): the current decides the size here, not the energy. Ask the maker, or take more.")
    elif v.battery_current_limit is None and v.chemistry == chemistry.LITHIUM:
        case.find("limit-unknown", "note", "The limit of the battery's own protection is not entered: it may be lower than the chemistry's. It is on the label.")
    if v.charge_current is None:
        return
    if v.charge_current > o.charge_current_max > 0:
        case.find("charge-high", "caution", f"{restate(v.charge_current, 'A')} of charging is above the {say(o.charge_current_max, 'A', 2)} this bank usually takes (from memory): it heats and gases, or its protection opens. Limit the charger.")
    elif v.charge_current < 0.5 * o.charge_current_usual and v.chemistry != chemistry.LITHIUM:
        case.find("charge-low", "note", f"{restate(v.charge_current, 'A')} is little for this bank: it will seldom be full, and lead-acid that is seldom full sulphates.")


def _judge_lithium(case):
    v, o = case.values, case.outputs
    kind = chemistry.facts(v.chemistry)
    if v.series_limit is not None and o.units_series > v.series_limit:
        case.find("series-limit", "stop", f"{o.units_series} in series is more than the {restate(v.series_limit, '')} the battery's protection stands: when it opens, its parts see the whole voltage. Take batteries made for {restate(v.voltage_nominal, 'V')}.")
    if v.temperature < kind.charge_temperature_min and v.charged_cold == "yes":
        case.find("charge-too-cold", "stop", f"{chemistry.WORDS[v.chemistry].capitalize()} must not be charged below {restate(kind.charge_temperature_min, '°C')}: metal plates out inside, unseen. Warm it first, or block the charger.")
    if v.chemistry != chemistry.LITHIUM:
        return
    if v.temperature < chemistry.CHARGE_REDUCED_BELOW:
        case.find("cold-not-held", "note", "No table of what cold takes from lithium iron phosphate is held, so no factor is applied; below 10 °C it also charges more slowly.")
    if o.units_series > 1 and v.series_limit is None:
        case.find("series-unknown", "caution", "Protected lithium batteries may not all be put in series: ask how many their protection stands.")


def _advise(case):
    v, o = case.values, case.outputs
    kind = chemistry.facts(v.chemistry)
    if o.strings_parallel > STRINGS_TO_QUESTION:
        case.find("many-strings", "caution", f"{o.strings_parallel} strings side by side share badly and hide a weak one: take larger batteries, or a higher voltage.")
    if v.depth_limit > kind.depth_limit:
        case.find("deep", "caution", f"{restate(v.depth_limit, '%')} is deeper than the usual {restate(kind.depth_limit, '%')} for {chemistry.WORDS[v.chemistry]}: fewer cycles, and nothing in hand when a day is worse than planned.")
    if o.strings_parallel > 1:
        case.find("string-fuses", "caution", "Each string needs its own fuse at the battery. A fault inside one string is fed by the others, and the main fuse never sees it. Join only batteries of the same kind, age and charge.")
    if o.energy_throughput is None:
        case.find("life-not-held", "note", "No number of cycles is given: no standard curve of cycles against depth is held. Enter your battery's own figure, at your depth, to get the energy in its life.")
    else:
        case.find("life-from-sheet", "note", "The life rests on the sheet's cycles, counted warm, slowly and with a full charge after each. Heat, long low spells and never a full charge take most of it away.")
    if case.high("units_total") > o.units_total:
        case.find("size-close", "note", f"With what is uncertain at its bad end, {case.high('units_total')} batteries would be needed.")


def _draw(case):
    v, o = case.values, case.outputs
    shares = ((1, "days"), (2, "depth"), (3, "cold"), (4, "age"), (5, "margin"))
    unused = o.capacity_uncorrected * v.depth_limit
    heights = [unused, o.capacity_uncorrected, o.capacity_uncorrected * o.temperature_factor]
    heights += [heights[-1] * v.ageing, o.capacity_required]
    points = tuple((place, height / 3600.0) for (place, _), height in zip(shares, heights))
    top = max(o.capacity_chosen, o.capacity_required) / 3600.0
    return [Figure(
        "From the energy to the battery",
        "Capacity after each step: what the days take, the share that may be used, the cold, ageing and the margin; the line is the bank chosen.",
        Axis("", "", 0.4, 5.6, shares), Axis("capacity", "Ah", 0, 1.2 * top),
        (Series("capacity after each step", points, bars=True),), (Level(f"the bank, {restate(o.capacity_chosen, 'Ah')}", o.capacity_chosen / 3600.0),), (),
    )]  # fmt: skip


CALCULATOR = Calculator(
    id="battery-size",
    title="How much battery?",
    question="How much battery holds this energy for these days, and what is it made up from?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
)
