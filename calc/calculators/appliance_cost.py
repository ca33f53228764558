"""appliance-cost: run it, or leave it at home?

Energy and current are two questions. A kettle takes little energy and a great current; an
absorption fridge the other way round. Each gets its own verdict.
"""

from dataclasses import replace

from calc.calculators import appliances, chemistry, losses
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import Choice, Field, Unknown
from calc.errors import FieldProblem
from calc.physics import load, use
from calc.result import Axis, Figure, Level, Series
from calc.units import format_quantity as say
from calc.units import restate_quantity as restate

SHARE_COSTLY = 0.25  # of the usable energy in a day, for one appliance; common practice
SHARE_CLOSE = 0.8  # of the current limit; common practice
LONG = 3600.0  # s: from here a current is one for hours, not for minutes; common practice
START_LONG = 0.05  # s: shorter surges charge a capacitor and are over; common practice
BY_HEAT = ("heater", "microwave", "rectifier")  # first stages of what heats; a rectifier is an induction hob's
GASES = {"propane": use.HEAT_PROPANE, "butane": use.HEAT_BUTANE}

FIELDS = (
    Choice("appliance", "Appliance", appliances.choices(), default="kettle", hint="The table gives what is left blank below."),
    Field("power", "Power it takes", "W", minimum="0.1 W", maximum="20 kW",
          tolerance="5 %", basis="common practice: type plates are good to about 5 %",
          hint="Type plate or, better, a plug-in meter; for a microwave the input. Left blank: from the table."),
    Field("minutes", "Minutes for one use", "min", minimum="0.01 min", maximum="2880 min",
          tolerance="10 %", basis="common practice", hint="Left blank: from the table."),
    Field("water", "Or water to heat", "L", minimum="0.05 L", maximum="300 L",
          tolerance="5 %", basis="common practice: a mark on the jug", hint="In place of the minutes."),
    Field("uses_per_day", "Uses a day", "", default="1", minimum="0.05", maximum="100"),
    replace(chemistry.CHEMISTRY, example=chemistry.LITHIUM),
    Field("capacity", "Battery capacity", "Ah", default="200 Ah", minimum="1 Ah", maximum="5000 Ah",
          tolerance="10 %", basis="common practice: capacity falls with age", hint="Rated, at the voltage below.",
          unknown=Unknown("100 Ah", "80 Ah", "200 Ah", "common practice: one or two batteries")),
    losses.RATING,
    Field("battery_current_limit", "Current limit of the battery", "A", minimum="1 A", maximum="3000 A",
          hint="On a protected battery's label, continuous. Left blank: usual for its kind.", more=True),
    Field("voltage_nominal", "Nominal voltage", "V", default="12 V", minimum="6 V", maximum="60 V", more=True),
    replace(chemistry.DEPTH_LIMIT, more=True),
    Field("energy_usable", "Usable energy, if known", "Wh", minimum="1 Wh", maximum="200 kWh",
          tolerance="10 %", basis="common practice", hint="In place of capacity and share.", more=True),
    Field("voltage_under_load", "Battery voltage under this load", "V", minimum="5 V", maximum="64 V",
          tolerance="4 %", basis="common practice: full to half empty", hint="Left blank: the nominal voltage of its kind.", more=True),
    Choice("supply", "Its supply", {"table": "as the table says", "ac": "through the inverter", "dc": "straight from the battery"}, default="table", more=True),
    replace(losses.POWER_FACTOR, default="", hint="Left blank: from the table."),
    Field("duty", "Share of the time it draws power", "", minimum="0.01", maximum="1", hint="A thermostat's. Left blank: from the table.", more=True),
    Field("of_its_kind", "Where yours lies in the table's range", "", default="unknown", minimum="-1", maximum="1",
          unknown=Unknown("0", "-1", "1", "the table's lowest to highest power"), hint="-1 the smallest, 0 the usual, 1 the largest.", more=True),
    *losses.FIELDS[1:],
    Field("water_start", "Water at first", "°C", default="15 °C", minimum="0 °C", maximum="99 °C", tolerance="5 °C", basis="common practice", more=True),
    Field("water_end", "Water at last", "°C", default="100 °C", minimum="1 °C", maximum="100 °C", more=True),
    Field("efficiency_heating", "Heat in the food or water, of its energy", "%", default="unknown", minimum="10 %", maximum="100 %",
          unknown=Unknown("85 %", "70 %", "95 %", "common practice: a kettle is best, an open pan worst"), more=True),
    Field("panel_power", "Solar panel", "W", default="200 W", minimum="1 W", maximum="50 kW", more=True),
    Field("derate", "Panel yield after all losses", "", default="0.65", minimum="0.1", maximum="1",
          tolerance="12 %", basis="common practice: 0.6 to 0.75 of rated power times sun-hours, charge loss included", more=True,
          unknown=Unknown("0.65", "0.5", "0.75", "common practice")),
    Field("driving_current", "Charging current while driving", "A", default="20 A", minimum="0.5 A", maximum="500 A",
          tolerance="20 %", basis="common practice", more=True,
          unknown=Unknown("20 A", "10 A", "40 A", "common practice: from a thin split connection to a DC-DC unit")),
    Choice("gas", "Bottled gas", {"propane": "propane", "butane": "butane"}, default="propane", more=True),
    Field("efficiency_burner", "Heat of the flame in the pot", "%", default="unknown", minimum="10 %", maximum="95 %",
          unknown=Unknown("45 %", "30 %", "60 %", "common practice: 30 % in wind, 60 % with a lid and a shield"), more=True),
    appliances.MEDICAL,
)  # fmt: skip

ENERGY = {"yes": "yes", "costly": "yes, but it is a large part of the battery", "no": "no: more than the battery has to give"}
CURRENT = {"yes": "yes", "close": "yes, close to the battery's limit", "no": "no: above the battery's limit", "unknown": "not known: the battery's limit is missing"}

ANSWERS = (
    Answer("energy_per_use", "From the battery for one use", "Wh", main=True),
    Answer("charge_per_use", "The same as charge", "Ah", main=True),
    Answer("battery_share", "Of what the battery can give", "%", main=True),
    Answer("current_dc", "Battery current while it draws", "A", main=True),
    Answer("verdict_energy", "By energy", choices=ENERGY),
    Answer("verdict_current", "By current", choices=CURRENT),
    Answer("current_limit", "Limit of the battery's current", "A"),
    Answer("battery_share_per_day", "Of what the battery can give, a day", "%"),
    Answer("energy_per_day", "From the battery a day", "Wh", per_day=True),
    Answer("time_per_use", "Time for one use", "min"),
    Answer("power_ac", "Power it takes", "W"),
    Answer("energy_usable_found", "What the battery can give", "Wh"),
    Answer("sun_hours_back", "Hours of full sun to put one use back", "h"),
    Answer("driving_hours_back", "Hours of driving to put one use back", "h"),
    Answer("gas_mass", "Gas for the same heat", "g"),
)


def _row(v):
    """The appliance in the table, or None for the reader's own."""
    return appliances.table().get(v.appliance)


def _power(v):
    if v.power is not None:
        return v.power
    row = _row(v)
    end = row["power_high"] if v.of_its_kind > 0 else row["power_low"]
    return row["power_typical"] + abs(v.of_its_kind) * (end - row["power_typical"])


def _duty(v):
    row = _row(v)
    if v.duty is not None or row is None:
        return v.duty or 1.0
    return min(row["task_energy"] / (row["power_typical"] * row["task_time"]), 1.0)


def _power_factor(v):
    row = _row(v)
    return v.power_factor if v.power_factor is not None else row["power_factor"] if row else 1.0


def _direct(v):
    row = _row(v)
    return v.supply == "dc" or (v.supply == "table" and row is not None and row["supply"] == "dc")


def _water_energy(v):
    return use.energy_to_heat_water(v.water, use.DENSITY_WATER, use.SPECIFIC_HEAT_WATER, v.water_start, v.water_end, v.efficiency_heating)


def _time(v):
    """Of one use, and of it the time it draws power."""
    if v.water is not None:
        time = _water_energy(v) / _power(v)
        return time, time
    time = v.minutes if v.minutes is not None else _row(v)["task_time"]
    return time, time * _duty(v)


def _voltage(v):
    return chemistry.cells(v.chemistry, v.voltage_nominal) * chemistry.facts(v.chemistry).voltage_cell


def _limit(v):
    if v.battery_current_limit is not None:
        return v.battery_current_limit
    return None if v.capacity is None else chemistry.facts(v.chemistry).discharge_rate_max * v.capacity


def _check(v):
    if _row(v) is None and v.power is None:
        raise FieldProblem("power", "enter the power of your appliance, or choose one from the table")
    if _row(v) is None and v.minutes is None and v.water is None:
        raise FieldProblem("minutes", "enter the minutes of one use, or the water to heat")
    if v.water is not None and v.water_end <= v.water_start:
        raise FieldProblem("water_end", f"must lie above the {restate(v.water_start, '°C')} it starts at")
    if v.voltage_under_load is not None and not 0.7 < v.voltage_under_load / _voltage(v) < 1.3:
        raise FieldProblem("voltage_under_load", f"does not belong to a battery of {restate(v.voltage_nominal, 'V')}: correct one of the two")
    if _direct(v):
        return
    losses.check(v)
    apparent = load.apparent_power(_power(v), _power_factor(v))
    if apparent > v.rating * (1 + 1e-9):
        raise FieldProblem("rating", f"the appliance takes {say(apparent, 'VA')}, above this rating: enter a larger inverter, or leave that appliance at home")


def _drawn(v):
    """Power from the battery while the appliance draws, and between its draws."""
    if _direct(v):
        return _power(v), 0.0
    return losses.power_dc(v, _power(v), _power_factor(v)), v.standby_power


def _evaluate(v):
    time, time_drawing = _time(v)
    drawn, idle = _drawn(v)
    energy = use.energy_via_inverter(drawn, time_drawing, idle, time)
    usable = v.energy_usable if v.energy_usable is not None else v.capacity * _voltage(v) * v.depth_limit
    share_day = energy * v.uses_per_day / usable
    current = drawn / (v.voltage_under_load if v.voltage_under_load is not None else _voltage(v))
    limit = _limit(v)
    return {
        "energy_per_use": energy,
        "charge_per_use": energy / _voltage(v),
        "battery_share": energy / usable,
        "current_dc": current,
        "verdict_energy": "yes" if share_day <= SHARE_COSTLY else "costly" if share_day <= 1 else "no",
        "verdict_current": "unknown" if limit is None else "no" if current > limit else "close" if current > SHARE_CLOSE * limit else "yes",
        "current_limit": limit,
        "battery_share_per_day": share_day,
        "energy_per_day": energy * v.uses_per_day,
        "time_per_use": time,
        "power_ac": _power(v),
        "energy_usable_found": usable,
        "sun_hours_back": use.time_to_replace(energy, v.panel_power, v.derate),
        "driving_hours_back": use.time_to_replace(energy, _charging_power(v), chemistry.facts(v.chemistry).efficiency_energy),
        "gas_mass": use.gas_mass(_heat(v, time_drawing), GASES[v.gas], v.efficiency_burner) if _heats(v) else None,
    }


def _charging_power(v):
    kind = chemistry.facts(v.chemistry)
    return v.driving_current * chemistry.cells(v.chemistry, v.voltage_nominal) * kind.voltage_charge


def _heats(v):
    """Whether a flame could do the same: water, cooking, a heater."""
    row = _row(v)
    return v.water is not None or (row is not None and row["waveform_class"] in BY_HEAT and (row["kind"] == "cooking" or "heater" in row["name"]) and row["supply"] != "dc")


def _heat(v, time_drawing):
    return _power(v) * time_drawing * v.efficiency_heating


def _use_words(v):
    if v.water is not None:
        return f"Heating {restate(v.water, 'L')} of water"
    row = _row(v)
    return f"One use, {row['task']}," if row is not None and v.minutes is None else "One use"


def _explain(case):
    _work(case)
    v, o = case.values, case.outputs
    energy = {"yes": "yes", "costly": f"it takes {say(o.battery_share_per_day, '%', 2)} a day", "no": f"no, {say(o.battery_share_per_day, '%', 2)} a day is more than there is"}[o.verdict_energy]
    limit = f"the battery's {say(o.current_limit, 'A', 2)}" if o.current_limit else ""
    current = {"yes": "yes", "close": f"close to {limit}", "no": f"no, above {limit}", "unknown": "ask for the battery's limit"}[o.verdict_current]
    case.answer = (
        f"{_use_words(v)} takes {say(o.energy_per_use, 'Wh', 2)} or {say(o.charge_per_use, 'Ah', 2)} from the battery, {say(o.battery_share, '%', 2)} of what it can give. "
        f"By energy: {energy}. By current, {say(o.current_dc, 'A', 2)}: {current}."
    )
    if v.medical == "no-fallback":
        case.answer = f"Not on this supply alone: somebody's health hangs on it. {case.answer}"
    _warn(case)
    _note(case)


def _work(case):
    v, o = case.values, case.outputs
    time, drawing = _time(v)
    power = {"P": (o.power_ac, "W")}
    if v.water is not None:
        case.step("E_water", "energy to heat the water", "V_w*rho*c*(T_2 - T_1)/eta_heat",
                  {"V_w": (v.water, "L"), "rho": (use.DENSITY_WATER, "kg/L"), "c": (use.SPECIFIC_HEAT_WATER, "kJ/kg/K"), "T_2": (v.water_end, "°C"), "T_1": (v.water_start, "°C"),
                   "eta_heat": (v.efficiency_heating, "%")}, _water_energy(v), "Wh", "water")  # fmt: skip
        case.step("t", "time it takes", "E_water/P", {"E_water": (_water_energy(v), "Wh"), **power}, time, "min", "arithmetic")
    if _direct(v):
        case.step("E", "energy of one use", "P*t*d", {**power, "t": (time, "min"), "d": (drawing / time, "")}, o.energy_per_use, "Wh", "arithmetic")
    else:
        losses.explain(case)
        losses.explain_power_dc(case, o.power_ac, _power_factor(v), _drawn(v)[0])
        case.step("E", "energy of one use", "P_dc*t*d + P_0*t*(1 - d)",
                  {"P_dc": (_drawn(v)[0], "W"), "t": (time, "min"), "d": (drawing / time, ""), "P_0": (v.standby_power, "W")}, o.energy_per_use, "Wh", "arithmetic")  # fmt: skip
    energy = {"E": (o.energy_per_use, "Wh")}
    case.step("Q", "the same as charge", "E/V_n", {**energy, "V_n": (_voltage(v), "V")}, o.charge_per_use, "Ah", "arithmetic")
    _work_battery(case, energy)
    _work_back(case, energy, drawing)


def _work_battery(case, energy):
    v, o = case.values, case.outputs
    if v.energy_usable is None:
        case.step("E_usable", "what the battery can give", "C*V_n*d_limit",
                  {"C": (v.capacity, "Ah"), "V_n": (_voltage(v), "V"), "d_limit": (v.depth_limit, "%")}, o.energy_usable_found, "Wh", "arithmetic")  # fmt: skip
    case.step("q", "share of it", "E/E_usable", {**energy, "E_usable": (o.energy_usable_found, "Wh")}, o.battery_share, "%", "arithmetic")
    voltage = v.voltage_under_load if v.voltage_under_load is not None else _voltage(v)
    name = "P" if _direct(v) else "P_dc"
    case.step("I", "current while it draws", f"{name}/V", {name: (_drawn(v)[0], "W"), "V": (voltage, "V")}, o.current_dc, "A", "arithmetic")
    if v.battery_current_limit is None and o.current_limit is not None:
        case.step("I_limit", "usual limit of its kind", "c_max*C", {"c_max": (chemistry.facts(v.chemistry).discharge_rate_max, "1/h"), "C": (v.capacity, "Ah")},
                  o.current_limit, "A", "battery-memory")  # fmt: skip


def _work_back(case, energy, drawing):
    v, o = case.values, case.outputs
    case.step("t_sun", "full sun to put it back", "E/(P_panel*k)", {**energy, "P_panel": (v.panel_power, "W"), "k": (v.derate, "")}, o.sun_hours_back, "h", "sand87")
    kind = chemistry.facts(v.chemistry)
    charging = chemistry.cells(v.chemistry, v.voltage_nominal) * kind.voltage_charge
    case.step("t_drive", "driving to put it back", "E/(I_drive*V_charge*eta_batt)",
              {**energy, "I_drive": (v.driving_current, "A"), "V_charge": (charging, "V"), "eta_batt": (kind.efficiency_energy, "%")}, o.driving_hours_back, "h", "practice")  # fmt: skip
    if o.gas_mass is not None:
        case.step("m", "gas for the same heat", "P*t_drawing*eta_heat/(H*eta_burner)",
                  {"P": (o.power_ac, "W"), "t_drawing": (drawing, "min"), "eta_heat": (v.efficiency_heating, "%"), "H": (GASES[v.gas], "MJ/kg"), "eta_burner": (v.efficiency_burner, "%")},
                  o.gas_mass, "g", "fuel-heat")  # fmt: skip


def _warn(case):
    v, o = case.values, case.outputs
    appliances.find_medical(case)
    if o.verdict_current == "no":
        whose = "of its protection, which opens and leaves everything dark" if v.battery_current_limit is not None else "usual for its kind: ask for the battery's own"
        case.find("battery-limit", "stop", f"{say(o.current_dc, 'A', 2)} is above the battery's {say(o.current_limit, 'A', 2)}, the limit {whose}. A smaller appliance for longer takes the same energy at a current it stands.")
    if o.verdict_energy == "no":
        case.find("more-than-battery", "caution", f"A day of it takes {say(o.energy_per_day, 'Wh', 2)}, more than the battery's {say(o.energy_usable_found, 'Wh', 2)}: gas, a better appliance, or leave it at home.")
    elif o.verdict_energy == "costly":
        case.find("large-part", "caution", f"A day of it takes {say(o.battery_share_per_day, '%', 2)} of what the battery can give: plan the day around it.")
    if v.chemistry in chemistry.LEAD and o.verdict_current in ("yes", "close") and o.current_limit and o.current_dc > 0.4 * o.current_limit and o.time_per_use >= LONG:
        case.find("lead-rate", "caution", "At a large current for long a lead-acid battery gives less than its label: ask how long it runs before relying on this.")


def _note(case):
    v, o = case.values, case.outputs
    row = _row(v)
    if row is not None and v.power is None:
        case.find("from-table", "note", f"The power comes from the table, {restate(row['power_low'], 'W')} to {restate(row['power_high'], 'W')}: read the type plate, or measure, and enter it.")
    if row is not None and row["supply"] == "either" and row["waveform_class"] == "rectifier":
        case.find("adaptor-counted", "note", "The power is that at its supply: an adaptor's loss is in it, and none is added here. Where AC is held against DC, the power is that behind the adaptor, and the loss is added.")
    if row is not None and row["starting_factor"] >= 2 and row["starting_time"] >= START_LONG and not _direct(v):
        case.find("starts-high", "note", f"It starts at about {restate(row['starting_factor'], '')} times its running current for {restate(row['starting_time'], 's')}: the start is a question of its own.")
    if not _direct(v):
        case.find("standby-while-on", "note", "This holds the inverter's standby only while the appliance is in use. Left on, it takes more.")
    if o.verdict_current in ("yes", "close"):
        case.find("voltage-apart", "note", "Whether the inverter stays above its cut-out at this current is a question of cable, joints and the battery's age.")
    if o.gas_mass is not None:
        case.find("gas-air", "note", "Gas needs an open window and a carbon monoxide alarm, and is for cooking, never for heating a room with a hob.")


def _draw(case):
    o = case.outputs
    bars = [(1, 100 * o.battery_share_per_day)]
    ticks = [(1, "energy a day")]
    if o.current_limit:
        bars.append((2, 100 * o.current_dc / o.current_limit))
        ticks.append((2, "current"))
    top = max(115.0, 1.1 * max(share for _, share in bars))
    return [Figure(
        "How much of the battery it asks for",
        "Energy a day as a share of what the battery can give, and current as a share of its limit.",
        Axis("", "", 0.3, len(bars) + 0.7, tuple(ticks)), Axis("share", "%", 0, top),
        (Series("share", tuple(bars), bars=True),), (Level("all there is", 100.0),),
    )]  # fmt: skip


CALCULATOR = Calculator(
    id="appliance-cost",
    title="Run it, or leave it at home?",
    question="What does one use of an appliance take from the battery, and does the battery stand its current?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
    alternatives=((("minutes",), ("water",)), (("capacity", "depth_limit"), ("energy_usable",))),
)
