"""What a plan holds: its sections, their fields and how each is read.

Every field is one of a calculator's own, blank until somebody types something: what is blank
is filled from the steps before, or stays with the calculator's own assumption.
"""

from dataclasses import dataclass, replace

from calc.calculators import (
    battery_size,
    bus_voltage,
    changeover,
    chemistry,
    fault_current,
    fuse,
    heat,
    inverter_size,
    load_list,
    losses,
    recharge,
    regions,
    schedule,
    supply_path,
    trip,
    waveform,
)
from calc.calculators.form import Choice, Field
from calc.errors import FieldProblem

TEXT_MOST = 400  # characters of any one text
NOTES_MOST = 4000  # characters of the shop's notes
LOADS_MOST = schedule.LOADS_MOST

@dataclass(frozen=True)
class Words(Field):
    """Free text of the shop's own; line breaks stay."""

    def read(self, text):
        """Turn typed text into (words, how, basis)."""
        if len(text) > TEXT_MOST:
            raise FieldProblem(self.name, f"is longer than {TEXT_MOST} characters: shorten it")
        return text.strip(), "given" if text.strip() else "blank", ""


@dataclass(frozen=True)
class Section:
    """A part of the document with fields of its own."""

    name: str
    label: str
    fields: tuple


def _of(module, name, **changes):
    """A calculator's field, blank at first; `called` renames it."""
    one = next(one for one in module.FIELDS if one.name == name)
    blank = {"default": "", "example": None, "more": False}
    changes = {"name": changes.pop("called", name), **blank, **changes}
    if isinstance(one, Field) and one.variants:
        return chemistry.changed(one, **changes)
    return replace(one, **changes)


_COLUMNS = {one.name: one for one in load_list.LOADS.columns}

WHEN = Choice(
    "when", "When it is used",
    {"morning": "in the morning, from 7", "day": "by day, from 11", "evening": "in the evening, from 18", "night": "at night, from 22"},
    default="evening", hint="What runs for 24 hours runs all day.",
)  # fmt: skip
MUST = Choice("must", "Must it always run", {"no": "no, it can wait on a dull day", "yes": "yes"}, default="no")
LOAD_FIELDS = (
    *(replace(_COLUMNS[name], more=False) for name in _COLUMNS),
    WHEN,
    MUST,
    Field("starting_time", "Its start lasts", "s", minimum="0.001 s", maximum="60 s"),
    Words("appliance", "Entry of the appliance table it was taken from"),
    Words("note", "Note"),
)
"""Fields of one load: those of the load list, and what the trip needs beside them."""

LOAD_LIST_COLUMNS = tuple(_COLUMNS)

REGION = replace(regions.REGION, label="Mains voltage and frequency", kept=False, hint="")

SECTIONS = (
    Section("who", "Who and where", (
        Words("title", "Name of this plan"),
        Words("customer", "Who travels or lives there, in general words"),
        Words("vehicle", "Vehicle, boat or building"),
        Words("use", "Where and how it is used"),
        Words("must", "What must work"),
        Words("never", "What is never to happen"),
        Words("installer", "Who installs it"),
        replace(changeover.FIELDS[[one.name for one in changeover.FIELDS].index("medical")], default="", more=False),
        _of(changeover, "budget"),
    )),
    Section("season", "Season and place", (
        _of(recharge, "place"),
        _of(recharge, "month", label="Darkest month it is used in"),
        _of(recharge, "month", called="month_best", label="Sunniest month it is used in"),
        _of(recharge, "sun_hours", hint="In place of place and month."),
        replace(trip.SUN, name="sun_bad_week", label="Sun of a bad week, day by day", default="", example=None),
        replace(trip.SUN, name="sun_good_week", label="Sun of a good week, day by day", default="", example=None),
        _of(battery_size, "days", label="Days it must hold without charge"),
        _of(battery_size, "temperature", label="Battery at its coldest"),
        _of(inverter_size, "ambient", label="Air where the inverter stands, hottest"),
        _of(heat, "ambient", called="air_outside", label="Hottest air outside its box"),
        _of(inverter_size, "altitude"),
    )),
    Section("inverter", "The inverter", (
        _of(load_list, "rating"),
        _of(load_list, "inverter_hours", called="hours_on"),
        *(_of(losses, name) for name in ("standby_power", "efficiency_full", "efficiency_peak", "points")),
        _of(supply_path, "cut_out"),
        _of(supply_path, "cut_out_senses"),
        _of(supply_path, "cut_out_delay"),
        _of(supply_path, "lock_out"),
        _of(supply_path, "ripple"),
        _of(inverter_size, "surge_multiple"),
        _of(inverter_size, "surge_time"),
        _of(waveform, "shape", label="Shape of its output"),
    )),
    Section("dc", "The DC side", (
        _of(battery_size, "voltage_nominal"),
        _of(bus_voltage, "power_12v"),
        _of(bus_voltage, "length_one_way"),
        _of(bus_voltage, "rule"),
        _of(supply_path, "area"),
        *(_of(bus_voltage, name) for name in ("drop_limit", "insulation", "terminal_temperature", "conductor", "ambient", "engine_space")),
        _of(supply_path, "joint_resistance"),
    )),
    Section("battery", "The battery", (
        _of(battery_size, "chemistry"),
        _of(trip, "capacity"),
        _of(battery_size, "depth_limit"),
        _of(battery_size, "unit_capacity"),
        _of(battery_size, "unit_voltage"),
        _of(battery_size, "battery_current_limit"),
        _of(battery_size, "series_limit"),
        _of(battery_size, "charged_cold"),
        _of(supply_path, "battery_resistance"),
        _of(fuse, "string_fuses"),
    )),
    Section("charging", "Charging", (
        *(_of(recharge, name) for name in (
            "panel_power", "mount", "driving", "dcdc_current", "driving_hours", "alternator_current_idle", "fused_both_ends", "mains", "charger_current",
            "mains_hours", "charger_power_factor", "generator_rating", "generator_place", "co_alarm",
        )),
        _of(trip, "driving_days", label="Days of a week with driving"),
        _of(trip, "mains_days", label="Days of a week with mains or generator"),
    )),
    Section("installation", "Installation", (
        *(_of(changeover, name) for name in ("outlets", "shore_power", "generator")),
        _of(changeover, "plan", called="intention"),
        *(_of(changeover, name) for name in ("supply_current", "power_other", "fixed_wiring", "origin", "output_link")),
        _of(fault_current, "breaker_rating"),
        _of(fault_current, "curve", called="breaker_curve"),
        _of(heat, "place", called="inverter_place"),
        _of(heat, "box_area"),
        _of(heat, "airflow"),
        Choice("battery_beside", "The battery is in the same space", {"no": "no", "yes": "yes"}, default=""),
    )),
    Section("baseline", "Measured at the handover", (
        Words("date", "Date of the measurement"),
        _of(losses, "standby_power"),
        _of(supply_path, "battery_resistance"),
        _of(supply_path, "cable_resistance", label="Cables and joints together, both ways"),
        Words("settings", "Settings as left"),
    )),
)  # fmt: skip
"""The sections with fields of their own, in the order of the document."""

BY_NAME = {section.name: section for section in SECTIONS}


def field_at(section, name):
    """The field of a section.

    Parameters
    ----------
    section, name : str
        Names in the document.

    Returns
    -------
    Field, Choice or Words
        The field.
    """
    return next(one for one in BY_NAME[section].fields if one.name == name)


def settled(one, battery):
    """A field as it is read in one plan: some go by the kind of battery.

    Parameters
    ----------
    one : Field, Choice or Words
        The field.
    battery : dict of str
        The plan's entries about its battery.

    Returns
    -------
    Field, Choice or Words
        The same, or its variant.
    """
    return one.settled({"chemistry": battery.get("chemistry", "")}) if isinstance(one, Field) else one
