"""The bill of materials of a plan, in trade terms: what to ask a supplier for."""

import math

from calc.calculators import chemistry
from calc.calculators.cable import size_name
from calc.plan.fill import typed
from calc.units import format_quantity as say

LUGS_PER_RUN = 2  # of one conductor


def bill(run):
    """The bill.

    Parameters
    ----------
    run : Run
        A plan that was run.

    Returns
    -------
    list of tuple
        (part, how many, what to ask for).
    """
    return [line for lines in (_inverter(run), _battery(run), _cable(run), _charging(run), _air(run)) for line in lines]


def _inverter(run):
    rating = run.choices.get("rating")
    if rating is None or not run.through:
        return
    asked = [f"{rating.words} continuous"]
    surge = run.value("size", "surge_required")
    if surge is not None and run.result("start") is not None:
        asked.append(f"surge of at least {say(surge, 'VA', 2)} for {typed(run.starting_time(), 's')}")
    if "voltage" in run.choices:
        asked.append(f"for a battery of {run.choices['voltage'].words}")
    volts, _, hertz, _ = run.region.split("-")
    asked.append(f"{volts} V {hertz} Hz")
    asked.append({"three-level": "three-level output", "square": "square output"}.get(run.own_choice("inverter", "shape"), "sine"))
    if "standby" in run.choices:
        asked.append(f"standby not above {run.choices['standby'].words}")
    yield "Inverter", "1", ", ".join(asked)


def _battery(run):
    result = run.result("battery")
    if result is None or "capacity" not in run.choices:
        return
    strings, series = int(run.choices["strings"].value), int(result.output("units_series").value)
    asked = [f"{chemistry.WORDS[run.chemistry]}, {typed(result.input('unit_voltage').value, 'V')} {say(run.choices['string_capacity'].value, 'Ah')}"]
    drawn = result.output("power_dc_max_current").value
    if drawn:
        asked.append(f"discharge limit of at least {say(drawn / strings, 'A', 2)} each")
    if series > 1:
        asked.append(f"made for {series} in series")
    layout = f"{series} in series, {strings} side by side" if series > 1 and strings > 1 else "in series" if series > 1 else "side by side" if strings > 1 else ""
    yield "Battery", str(strings * series), "; ".join([*asked, layout] if layout else asked)
    if strings * series > 1:
        yield "Battery links", str(2 * strings * series - 2 if strings > 1 else series - 1), "all of one length and size, of the main cable's size or thicker; plus and minus taken off at opposite ends"
    if strings > 1:
        yield "String fuse with holder", str(strings), "one for each string at its battery; rated by the strings' own cable and the battery's sheet"


def _cable(run):
    area, voltage = run.choices.get("area"), run.choices.get("voltage")
    cable, fuse = run.result("cable"), run.result("fuse")
    if area is None or cable is None:
        return
    size, length = size_name(area.value), cable.input("length_one_way").value
    limit = typed(cable.input("insulation").value, "°C")
    yield "Battery cable", f"2 × {typed(length, 'm')}", f"{size}, flexible, insulation for {limit} or more, one red, one black; and the conductor to the metal body as the rules ask, not thinner than the fuse allows"
    yield "Lugs", str(2 * LUGS_PER_RUN), f"tinned copper for {size}, holes to fit the studs, crimped with the tool made for them, sleeved"
    if fuse is None or "fuse" not in run.choices:
        return
    volts = say(math.ceil(fuse.output("voltage_rating_min").value * 10) / 10, "V")
    yield "Main fuse with holder", "1", f"{run.choices['fuse'].words}, at least {volts} DC, breaking at least {say(fuse.output('interrupt_rating_min').value, 'A', 2)}, within {say(fuse.output('distance_max').value, 'm', 2)} of the battery"
    yield "DC isolator", "1", f"{run.choices['fuse'].words} for hours, at least {volts} DC, made to break that current; beside the battery, in reach"
    if voltage is not None and voltage.value > 20 and run.power_dc_loads():
        yield "Converter to 12 V", "1", f"at least {say(run.power_dc_loads() / 12.0, 'A', 2)}, fed from the whole bank through a fuse of its own"


def _charging(run):
    panels, voltage = run.own_value("charging", "panel_power"), run.choices.get("voltage")
    if panels:
        yield "Solar panels", "", f"{typed(panels, 'W')} together"
        if voltage is not None:
            kind, cells = chemistry.facts(run.chemistry), chemistry.cells(run.chemistry, voltage.value)
            amps = panels / (cells * kind.voltage_cell)
            yield "Solar controller", "1", f"for {voltage.words} and {chemistry.WORDS[run.chemistry]}, at least {say(amps, 'A', 2)} out; its panel voltage above the string's on the coldest morning"
    driving = run.own_choice("charging", "driving")
    if driving == "dc-dc":
        yield "DC-DC charger", "1", f"{_amps(run, 'dcdc_current')} out, for {chemistry.WORDS[run.chemistry]}, a fuse at each end of its cable"
    elif driving == "split":
        yield "Split-charge relay or isolator", "1", "rated above the alternator; a fuse at each end of the cable"
    mains = run.own_choice("charging", "mains")
    if mains not in ("", "none"):
        yield "Charger", "1", f"{_amps(run, 'charger_current')} out, for {chemistry.WORDS[run.chemistry]}, power factor corrected if a generator is to carry it"
    if mains == "generator":
        power = run.value("recharge", "generator_apparent_power")
        yield "Generator", "1", f"at least {say(power, 'VA', 2)} for the charger alone" if power else "sized for the charger's volt-amps"
        yield "Carbon monoxide alarm", "1", "where people sleep, working and in date"


def _amps(run, name):
    """A charger's output, as entered or as the recharge took it."""
    entered = run.plan["charging"].get(name, "")
    return entered or (typed(run.result("recharge").input(name).value, "A") if run.result("recharge") else "amps still open:")


def _air(run):
    air = run.value("heat", "airflow_for_rise")
    if air is not None and (run.value("heat", "temperature_rise") or 0.0) > run.result("heat").input("rise_wanted").value:
        yield "Air for the inverter's box", "", f"{say(air, 'm³/h', 2)}, in low and out high"
    opening = run.value("heat", "opening_needed")
    if opening:
        yield "Openings for the battery", "2", f"{say(opening, 'cm²', 2)} each, one low, one high, to the open air"
