"""load-list: what must run, and how much is that?

Three sums that must not be mixed up: the energy of a day, the most that runs together, and
the worst start on top of what already runs. Loads that share the word in `group` are never
on together ("kettle or microwave"), so the list of combinations decides, not the list of
appliances.
"""

from dataclasses import replace
from functools import cache

from calc.calculators import appliances, losses
from calc.calculators.calculator import Answer, Calculator
from calc.calculators.form import UNKNOWN, Choice, Field, Known, Rows, Text, Unknown
from calc.errors import FieldProblem
from calc.physics import inverter, load
from calc.result import Axis, Figure, Series
from calc.units import format_quantity as say
from calc.units import capitalised, from_si
from calc.units import restate_quantity as restate

COOKING_EFFICIENCY = 0.62  # cooking power over input of a microwave oven, 0.55 to 0.70; common practice
STARTING_POWER_FACTOR = 0.65  # of a motor while it starts, 0.5 to 0.8; common practice
STANDBY_SHARE_TO_QUESTION = 0.25  # of the day's energy; common practice
SHARES = 12  # appliances named with their part of the day
BARS = 6  # names that fit side by side under the figure on a phone

COLUMNS = (
    Text("name", "Name", default=None, offers=appliances.by_kind),
    Field("power", "Power", "W", default=None, minimum="0 W", maximum="20 kW", above_minimum=True, tolerance="10 %",
          basis="common practice: type plates and habits are good to about 10 %"),
    Field("hours_per_day", "Hours a day", "h", default="1 h", minimum="0 h", maximum="24 h", tolerance="20 %",
          basis="common practice: habits differ from day to day",
          unknown=Unknown("1 h", "0.25 h", "4 h", "common practice: a few minutes to an evening")),
    Field("quantity", "How many", "", default="1", minimum="1", maximum="100"),
    Text("group", "Never together", default=""),
    Choice("supply", "Supply", {"ac": "mains, through the inverter", "dc": "straight from the battery"}, default="ac", more=True),
    Choice("power_is", "The power is", {"input": "what it takes", "cooking": "a microwave oven's cooking power"}, default="input", more=True),
    Field("duty", "Share of its hours it draws power", "", default="1", minimum="0", maximum="1", above_minimum=True, more=True,
          unknown=Unknown("0.5", "0.3", "1", "common practice: a fridge or a thermostat")),
    Field("power_factor", "Power factor", "", default="1", minimum="0.1", maximum="1", more=True,
          unknown=Unknown("0.9", "0.6", "1", "common practice: 0.6 for a motor, 1 for heating")),
    Field("starting_factor", "Starting current over running", "", default="1", minimum="1", maximum="15", more=True,
          unknown=Unknown("5", "3", "8", "common practice for a fixed-speed compressor or pump"),
          hint="1 for heating and electronics."),
    Field("starting_power", "Starting power, if known", "W", minimum="0 W", maximum="60 kW", above_minimum=True, more=True),
)  # fmt: skip
FED = ("power", "hours_per_day", "duty", "power_factor", "starting_factor", "supply")
"""Columns the appliance table fills where they are left blank."""


def _known(typed):
    """What the appliance table has for a row by its name."""
    name = str(typed.get("name", ""))
    key = appliances.key_of(name)
    if key is None:
        like = appliances.like(name)
        return Known(instead=f"a name of the appliance table: {'; '.join(like)}") if like else Known()
    known = _of_appliance(key)
    if typed.get("power_is") == "cooking":  # the table's power is what goes in
        return Known(known.source, {name: one for name, one in known.columns.items() if name != "power"})
    return known


@cache
def _of_appliance(key):
    """The fields of one appliance; made once, since each reads its limits when it is first used."""
    row, own = appliances.table()[key], {one.name: one for one in COLUMNS}
    columns = {"supply": replace(own["supply"], default="dc" if row["supply"] == "dc" else "ac")}
    for name, (unit, *ends) in appliances.usual(key).items():
        columns[name] = replace(own[name], default=UNKNOWN, unknown=Unknown(*(f"{from_si(end, unit):.9g} {unit}" for end in ends), f"appliance table, {row['known']}"))
    return Known(f"the appliance table ({row['known']}; one use a day: {row['task']})", columns)


LOADS = Rows(
    "loads", "What must run", "load", COLUMNS,
    example=(
        {"name": "kettle", "power": "1200 W", "hours_per_day": "0.2 h", "quantity": "1", "group": "hot"},
        {"name": "microwave", "power": "700 W", "hours_per_day": "0.2 h", "quantity": "1", "group": "hot", "power_is": "cooking", "power_factor": "0.9"},
        {"name": "fridge", "power": "90 W", "hours_per_day": "24 h", "quantity": "1", "duty": "0.35", "power_factor": "0.6", "starting_factor": "5"},
        {"name": "laptop", "power": "45 W", "hours_per_day": "4 h", "quantity": "1", "power_factor": "0.9"},
        {"name": "lights", "power": "5 W", "hours_per_day": "5 h", "quantity": "4", "supply": "dc"},
    ),
    hint="Choose a name from the appliance table, and what you leave blank is taken from it; your own figures always win. The watts that go in, not what comes out. The same word under \"never together\" in two loads: one or the other.",
    known=_known, feeds=FED,
)  # fmt: skip

FIELDS = (
    LOADS,
    losses.RATING,
    Field("inverter_hours", "Hours a day the inverter is on", "h", default="24 h", minimum="0 h", maximum="24 h",
          unknown=Unknown("24 h", "10 h", "24 h", "common practice: left on")),
    *losses.FIELDS[1:],
)  # fmt: skip

ANSWERS = (
    Answer("energy_total", "Energy from the battery a day", "Wh", main=True, per_day=True),
    Answer("energy_standby", "Standby's part of it", "Wh", main=True, per_day=True),
    Answer("power_running", "Most that runs together", "W", main=True),
    Answer("apparent_power_starting", "Worst start, the rest running", "VA", main=True),
    Answer("apparent_power_running", "Most that runs together, in volt-amps", "VA"),
    Answer("power_starting", "Worst start, the rest running, in watts", "W"),
    Answer("energy_ac", "Energy the AC loads use a day", "Wh", per_day=True),
    Answer("energy_dc", "Energy the DC loads use a day", "Wh", per_day=True),
    Answer("energy_loss", "Lost in conversion a day, without standby", "Wh", per_day=True),
    Answer("starts", "The worst start"),
    Answer("largest", "The largest user of energy"),
    Answer("largest_share", "Its share of the day", "%"),
)


def _check(v):
    losses.check(v)
    for row in v.loads:
        if row.quantity != int(row.quantity):
            raise FieldProblem(f"loads.{row.index}.quantity", "enter a whole number")
        if row.supply == "dc" and row.group:
            raise FieldProblem(f"loads.{row.index}.group", "a load straight from the battery is not part of the inverter's combinations: leave this blank")
        if row.starting_power is not None and row.starting_power < _power(row):
            raise FieldProblem(f"loads.{row.index}.starting_power", f"cannot lie below the {say(_power(row), 'W')} it takes when running")
    if any(row.supply == "ac" for row in v.loads) and not v.inverter_hours:
        raise FieldProblem("inverter_hours", "cannot be 0 while loads run through the inverter")


def _power(row):
    """Input power of one of them."""
    return load.power_input_from_cooking(row.power, COOKING_EFFICIENCY) if row.power_is == "cooking" else row.power


def _start(row):
    """Real and apparent power of one of them while it starts."""
    power, apparent = _power(row), load.apparent_power(_power(row), row.power_factor)
    if row.starting_power is not None:
        return row.starting_power, max(row.starting_power / STARTING_POWER_FACTOR, apparent)
    if row.starting_factor == 1:
        return power, apparent
    starting = load.starting_apparent_power(apparent, row.starting_factor)
    return max(starting * STARTING_POWER_FACTOR, power), starting


def _together(rows):
    """Most that runs together: everything without a group, and the largest of each group."""
    alone = [row for row in rows if not row.group]
    groups = {}
    for row in rows:
        if row.group:
            groups.setdefault(row.group.lower(), []).append(row)
    return (
        sum(_most(alone, groups, lambda row: row.quantity * _power(row))),
        sum(_most(alone, groups, lambda row: row.quantity * load.apparent_power(_power(row), row.power_factor))),
    )


def _most(alone, groups, size):
    return [*(size(row) for row in alone), *(max(size(row) for row in rows) for rows in groups.values())]


def _worst_start(rows):
    """The start that asks for most volt-amps, with the rest of its combination running; none where no start takes more than running does."""
    running = _together(rows)
    worst = (running[1], running[0], "none")
    for row in rows:
        rest = [other for other in rows if other is not row and not (row.group and other.group.lower() == row.group.lower())]
        power, apparent = _together(rest)
        own_power = _power(row)
        start_power, start_apparent = _start(row)
        others = row.quantity - 1
        power += others * own_power + start_power
        apparent += others * load.apparent_power(own_power, row.power_factor) + start_apparent
        more = apparent > running[1] * (1 + 1e-9)
        worst = max(worst, (apparent, power, row.name if more else "none"), key=lambda each: each[0])
    return worst


def energy(v, row, a, b):
    """Energy of one load a day.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the fields, in SI units.
    row : SimpleNamespace
        The load.
    a, b : float
        Loss terms of the inverter.

    Returns
    -------
    tuple of float
        At the load, and from the battery without standby, [J].
    """
    power = _power(row)
    used = load.energy_of_use(power, row.duty, row.hours_per_day, row.quantity)
    if row.supply == "dc":
        return used, used
    drawn = inverter.power_dc(power, row.power_factor, v.rating, 0.0, a, b)
    return used, load.energy_of_use(drawn, row.duty, row.hours_per_day, row.quantity)


def _evaluate(v):
    a, b = losses.terms(v)
    through = [row for row in v.loads if row.supply == "ac"]
    energies = [(row, *energy(v, row, a, b)) for row in v.loads]
    energy_ac = sum(used for row, used, _ in energies if row.supply == "ac")
    energy_dc = sum(used for row, used, _ in energies if row.supply == "dc")
    drawn = sum(taken for _, _, taken in energies)
    standby = v.standby_power * v.inverter_hours if through else 0.0
    power, apparent = _together(through)
    starting, starting_power, starts = _worst_start(through)
    largest = max(energies, key=lambda each: each[2])
    return {
        "energy_total": drawn + standby,
        "energy_standby": standby,
        "power_running": power,
        "apparent_power_starting": starting,
        "apparent_power_running": apparent,
        "power_starting": starting_power,
        "energy_ac": energy_ac,
        "energy_dc": energy_dc,
        "energy_loss": drawn - energy_ac - energy_dc,
        "starts": starts,
        "largest": largest[0].name,
        "largest_share": largest[2] / (drawn + standby) if drawn else None,
    }


def _explain(case):
    v, o = case.values, case.outputs
    through = [row for row in v.loads if row.supply == "ac"]
    _work(case, through)
    case.answer = f"The day takes {say(o.energy_total, 'Wh')} from the battery, {say(o.energy_standby, 'Wh', 2)} of it standby."
    if through:
        starts = f"the worst start is {o.starts}, {say(o.apparent_power_starting, 'VA', 3)} with the rest running"
        case.answer += f" At most {say(o.power_running, 'W')} run together; {starts if o.starts != 'none' else 'nothing takes more at its start than while it runs'}."
    if o.apparent_power_running > v.rating:
        case.find("above-rating", "stop", f"Together they need {say(o.apparent_power_running, 'VA')}, above the inverter's {restate(v.rating, 'VA')}. Put loads that can wait into one group, or choose a larger inverter.")
    if o.energy_total:
        case.find("shares", "note", f"Of the day's energy: {_shares(v, o)}.")
    if o.energy_total and o.energy_standby > STANDBY_SHARE_TO_QUESTION * o.energy_total:
        case.find("standby-large", "caution", f"Standby is {say(o.energy_standby / o.energy_total, '%', 2)} of the day: switch the inverter off when idle, or move what runs all day to DC.")
    for row in v.loads:
        if row.power_is == "cooking":
            case.find("cooking-power", "note", f"{capitalised(row.name)}: {restate(row.power, 'W')} of cooking takes about {say(_power(row), 'W', 2)} from the socket. The plate on the back gives the input: enter that if you can.")
    if any(row.starting_factor > 1 or row.starting_power is not None for row in through):
        case.find("start-stalls", "note", "An inverter that cannot give the starting current lowers its voltage, and a motor then stalls instead of starting slowly. Start motors alone.")
    if (apart := _apart(through)):
        case.find("two-combinations", "note", f"Of {apart[0]}, never used together, {apart[1]} has the most watts and {apart[2]} the most volt-amps. Both figures are the most there can be, and do not come from the same combination.")
    case.find("sum-of-volt-amps", "note", f"Volt-amps are added up as they are, which is the safe side: with sinusoidal currents it would be {say(_sinusoidal(through), 'VA')}.")


def _apart(rows):
    """A group whose largest in watts is not its largest in volt-amps: its word and the two names; None where there is none."""
    for group in dict.fromkeys(row.group.lower() for row in rows if row.group):
        ones = [row for row in rows if row.group.lower() == group]
        watts, volt_amps = (max(ones, key=size) for size in (lambda row: row.quantity * _power(row), lambda row: row.quantity * _power(row) / row.power_factor))
        if watts is not volt_amps:
            return f"“{watts.group}”", watts.name, volt_amps.name
    return None


def _shares(v, o):
    """Each appliance's part of the day, the largest first, with its conversion loss; standby apart."""
    a, b = losses.terms(v)
    parts = [(row.name, energy(v, row, a, b)[1]) for row in v.loads] + [("standby", o.energy_standby)]
    parts = sorted((part for part in parts if part[1]), key=lambda part: -part[1])
    named, rest = parts[:SHARES], sum(energy for _, energy in parts[SHARES:])
    return "; ".join(f"{say(energy / o.energy_total, '%', 2)} {name}" for name, energy in [*named, *([("the rest", rest)] if rest else [])])


def _sinusoidal(rows):
    """Volt-amps of the largest combination if all currents were sinusoidal."""
    alone = [row for row in rows if not row.group]
    groups = {}
    for row in rows:
        if row.group:
            groups.setdefault(row.group.lower(), []).append(row)
    chosen = alone + [max(group, key=lambda row: row.quantity * _power(row) / row.power_factor) for group in groups.values()]
    powers = [row.quantity * _power(row) for row in chosen]
    reactive = [load.reactive_power(power, power / row.power_factor) for power, row in zip(powers, chosen)]
    return load.apparent_power_of_sum(sum(powers), sum(reactive))


def _work(case, through):
    v, o = case.values, case.outputs
    losses.explain(case)
    case.cite(*(appliances.table()[key]["source"] for row in v.loads if (key := appliances.key_of(row.name))))
    a, b = losses.terms(v)
    for row in v.loads:
        symbol = f"E_{_symbol(row.name)}"
        used, taken = energy(v, row, a, b)
        inputs = {"n": (row.quantity, ""), "P": (_power(row), "W"), "d": (row.duty, ""), "t": (row.hours_per_day, "h")}
        if row.supply == "dc":
            case.step(symbol, f"{row.name}, straight from the battery", "n*P*d*t", inputs, used, "Wh", "arithmetic")
        else:
            inputs |= {"a": (a, ""), "b": (b, ""), "PF": (row.power_factor, ""), "S_r": (v.rating, "VA")}
            case.step(symbol, f"{row.name}, from the battery", "n*(a*P + b*(P/PF)**2/S_r)*d*t", inputs, taken, "Wh", "loss-model")
    if through:
        case.step("E_standby", "standby", "P_0*t_on", {"P_0": (v.standby_power, "W"), "t_on": (v.inverter_hours, "h")}, o.energy_standby, "Wh", "arithmetic")


def _symbol(name):
    return "".join(letter if letter.isascii() and letter.isalnum() else "_" for letter in name).strip("_") or "load"


def _draw(case):
    v, o = case.values, case.outputs
    a, b = losses.terms(v)
    parts = [(row.name, energy(v, row, a, b)[1]) for row in v.loads]
    if o.energy_standby:
        parts.append(("standby", o.energy_standby))
    parts.sort(key=lambda part: -part[1])
    if len(parts) > BARS:
        parts = [*parts[: BARS - 1], ("the rest", sum(amount for _, amount in parts[BARS - 1 :]))]
    points = tuple((place, amount / 3600) for place, (_, amount) in enumerate(parts, 1))
    ticks = tuple((place, name) for place, (name, _) in enumerate(parts, 1))
    return [Figure(
        "Where the day's energy goes",
        "Energy taken from the battery in a day, by appliance, with its share of the inverter's losses, and standby.",
        Axis("", "", 0.4, len(parts) + 0.6, ticks), Axis("energy a day", "Wh", 0, 1.1 * max(y for _, y in points)),
        (Series("energy", points, bars=True),),
    )]  # fmt: skip


CALCULATOR = Calculator(
    id="load-list",
    title="What must run, and how much is that?",
    question="What do these appliances take in a day, at most together, and at the worst start?",
    fields=FIELDS,
    answers=ANSWERS,
    evaluate=_evaluate,
    check=_check,
    explain=_explain,
    draw=_draw,
)
