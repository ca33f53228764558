"""A plan being run: what was settled on, how each part went, and what is read from both."""

from dataclasses import dataclass, field
from functools import lru_cache

from calc.calculators import CALCULATORS, chemistry
from calc.calculators.cable import size_name
from calc.calculators.calculator import run as run_calculator
from calc.errors import FieldProblem, InputProblems
from calc.physics import battery
from calc.plan import sections, week
from calc.plan.fill import fill, typed
from calc.units import format_quantity as say

CUT_OUT_LEAST, CUT_OUT_MOST = 0.75, 1.1  # of the nominal voltage; common practice
FOR_HOURS = 3600.0  # s a day: what runs for less does not warm the box through; common practice
START_TIME = 0.5  # s, where no load says how long its start lasts; common practice
LOWEST_STATE = 0.1  # of charge, at which the voltage under load is judged at the lowest; common practice
RESISTANCE_RISE = 1.5  # of a battery in use against a new one; common practice
RESISTANCE_DOUBT = "50 %"  # either way; common practice


@dataclass(frozen=True)
class Choice:
    """Something the plan settled on, in SI units, and the words of what decided it."""

    name: str
    label: str
    value: float
    unit: str
    given: bool  # typed in the plan, not chosen
    binding: str  # what decided: "given", "energy", "current", "drop", "running", "start", "heat", "fuse" …
    reason: str

    @property
    def words(self):
        """The value as a person says it."""
        if self.unit == "mm²":
            return size_name(self.value).replace("\u00a0", " ")
        return typed(self.value, self.unit, 2 if self.unit == "%" else 3).replace("-", "−")


@dataclass(frozen=True)
class Part:
    """One calculator's place in a plan, as it went."""

    name: str
    title: str
    texts: dict
    origins: dict
    result: object = None  # Result, or None
    problems: tuple = ()  # FieldProblems with a path of the plan
    needs: tuple = ()  # what it waits for, in sentences
    idle: str = ""  # why there is nothing to answer here

    def origin(self, name):
        """Where a field's value came from, or None for the calculator's own assumption."""
        return self.origins.get(name)


@dataclass
class Run:
    """A plan and everything computed from it."""

    plan: dict
    parts: dict = field(default_factory=dict)
    choices: dict = field(default_factory=dict)
    findings: list = field(default_factory=list)
    loads: tuple | None = None
    strings_least: int = 1

    def part(self, name):
        """A part as it went."""
        return self.parts[name]

    def result(self, name):
        """The Result of a part, or None."""
        return self.parts[name].result if name in self.parts else None

    def value(self, name, output):
        """One answer of a part in SI units, or None."""
        result = self.result(name)
        return None if result is None else result.output(output).value

    @property
    def chemistry(self):
        """Kind of battery."""
        return self.own_choice("battery", "chemistry") or "lead-acid"

    @property
    def through(self):
        """Whether anything runs through the inverter, as far as is known."""
        return self.loads is None or any(row.supply == "ac" for row in self.loads)

    @property
    def region(self):
        """Mains voltage and frequency, as the plan's choice."""
        try:
            return sections.REGION.read(self.plan["region"])[0]
        except FieldProblem:
            return sections.REGION.default

    @property
    def depth_limit(self):
        """Share of the battery that is used."""
        return self.own_value("battery", "depth_limit") or chemistry.facts(self.chemistry).depth_limit

    @property
    def blocks(self):
        """Batteries of 12 V in series, or 0 while the voltage is open."""
        voltage = self.choices.get("voltage")
        return chemistry.blocks(voltage.value) if voltage else 0

    @property
    def cut_out_fits(self):
        """Whether the cut-out typed can be that of an inverter for this voltage."""
        typed_in, voltage = self.own_value("inverter", "cut_out"), self.choices.get("voltage")
        return typed_in is None or voltage is None or CUT_OUT_LEAST * voltage.value <= typed_in < voltage.value * CUT_OUT_MOST

    def choose(self, name, label, value, unit, given, binding, reason):
        """Settle on something."""
        self.choices[name] = Choice(name, label, value, unit, given, binding, reason)

    def full_load(self, cable):
        """The current cable and fuse are made for: nothing stops the inverter from being loaded to its rating."""
        return f"{say(cable.output('current_dc').value, 'A')}, the inverter's full {self.choices['rating'].words} at the cut-out voltage"

    def own_value(self, section, name):
        """A quantity typed in the plan, in SI units; None where it is blank or cannot be read."""
        try:
            reading = sections.settled(sections.field_at(section, name), self.plan["battery"]).read(self.plan[section].get(name, ""))[0]
        except FieldProblem:
            return None
        return None if reading is None else reading.likely

    def own_choice(self, section, name):
        """A choice made in the plan; "" where there is none."""
        try:
            return sections.field_at(section, name).read(self.plan[section].get(name, ""))[0]
        except FieldProblem:
            return ""

    def starting_time(self):
        """How long the worst start lasts: the longest named, or what is common."""
        times = []
        for one in self.plan["loads"]:
            try:
                reading = next(each for each in sections.LOAD_FIELDS if each.name == "starting_time").read(one.get("starting_time", ""))[0]
            except FieldProblem:
                continue
            times += [reading.likely] if reading else []
        return max(times, default=START_TIME)

    def power_dc_loads(self):
        """What all loads straight from the battery draw together."""
        return sum(week.power_of(row) for row in self.loads or () if row.supply == "dc")

    def power_dc_words(self):
        """The largest steady power on the DC side, inverter and DC loads together."""
        power = self.value("conversion", "power_dc") if self.through else 0.0
        power = None if power is None else power + self.power_dc_loads()
        return typed(power, "W") if power else ""

    def power_for_hours(self):
        """AC power that goes on for hours, averaged over its coming and going: what heats the inverter's box."""
        alone, groups = 0.0, {}
        for row in self.loads or ():
            if row.supply != "ac" or row.hours_per_day < FOR_HOURS:
                continue
            power = week.power_of(row) * row.duty
            if row.group:
                groups[row.group.lower()] = max(power, groups.get(row.group.lower(), 0.0))
            else:
                alone += power
        return alone + sum(groups.values())

    def own_days(self, name):
        """How many days of a week a way of charging has; None where it is every day, or cannot be read."""
        try:
            days = sections.field_at("charging", name).read(self.plan["charging"].get(name, ""))[0]
        except FieldProblem:
            return None
        return None if days in (None, "all") else len(days)

    def resistance_at_12_words(self):
        """Of a bank of this energy wired for 12 V, before the voltage is settled."""
        measured, volts, capacity = self.own_value("battery", "battery_resistance"), self.own_value("dc", "voltage_nominal"), self.own_value("battery", "capacity")
        blocks = chemistry.blocks(volts) if volts else 1
        if measured is not None and volts:
            return typed(measured / blocks**2, "mΩ")
        if capacity is None:
            texts = fill(self, "battery")[0] | {"voltage_nominal": "12 V", "unit_voltage": "12 V"}
            found, _ = answer("battery-size", texts)
            capacity = found and found.output("capacity_chosen").value / blocks
        if not capacity:
            return ""
        resistance = RESISTANCE_RISE * chemistry.resistance_new(self.chemistry, 12.0, capacity * blocks)
        return f"{typed(resistance, 'mΩ')} ± {RESISTANCE_DOUBT}"

    def rest_voltage(self, blocks=None):
        """Of the battery, or of so many of 12 V in series, at the lowest state it is meant to be used at."""
        return (blocks or self.blocks) * battery.voltage_at_rest(max(1 - self.depth_limit, LOWEST_STATE), *chemistry.rest_curve(self.chemistry))

    def resistance_words(self):
        """Of the battery in use, from kind and capacity."""
        capacity, voltage = self.choices.get("capacity"), self.choices.get("voltage")
        if capacity is None or voltage is None:
            return ""
        resistance = RESISTANCE_RISE * chemistry.resistance_new(self.chemistry, voltage.value, capacity.value)
        return f"{typed(resistance, 'mΩ')} ± {RESISTANCE_DOUBT}"

    def path_resistance_words(self):
        """Cable and joints between battery and inverter."""
        path = self.result("path")
        if path is None:
            return ""
        return typed(path.output("cable_resistance_loop").value + path.input("joint_resistance").value, "mΩ")

    def best_sun(self):
        """Peak-sun time of a mean day in the sunniest month, or None."""
        recharge = self.parts.get("recharge")
        month = self.own_choice("season", "month_best")
        if recharge is None or recharge.result is None or not month or "place" not in recharge.texts:
            return self.value("recharge", "sun_hours_used")
        best, _ = answer("recharge", {**recharge.texts, "month": month})
        return best.output("sun_hours_used").value if best else None

    @property
    def problems(self):
        """What cannot be used in the plan, each path once."""
        found = {}
        for part in self.parts.values():
            for problem in part.problems:
                found.setdefault(problem.field, problem)
        return tuple(found.values())


def answer(calculator, texts):
    """The Result of a calculator for texts, or the problems; kept by the texts.

    Parameters
    ----------
    calculator : str
        Its id.
    texts : dict of str
        Field name to text.

    Returns
    -------
    tuple
        (Result or None, problems).
    """
    return _answer(calculator, tuple(sorted(texts.items())))


@lru_cache(maxsize=160)
def _answer(calculator, texts):
    try:
        return run_calculator(CALCULATORS[calculator], dict(texts)), ()
    except InputProblems as problems:
        return None, problems.problems
    except FieldProblem as problem:
        return None, (problem,)
