"""What concerns a plan as a whole: what was typed against what would be chosen, heat, and the wave."""

from calc.calculators import CALCULATORS, appliances, trip
from calc.plan.fill import typed
from calc.plan.state import answer
from calc.result import Finding
from calc.units import capitalised
from calc.units import format_quantity as say

BOX_HOTTER = 5.0  # °C above what the size allows for, before it is said


def judge(this):
    """Add the findings about the plan as a whole, and settle on what is only told.

    Parameters
    ----------
    this : Run
        A plan of which every part has run.
    """
    _judge_own(this)
    _judge_wave(this)
    _judge_box(this)
    fuse = this.value("fuse", "rating")
    if fuse is not None:
        needed = say(this.value("fuse", "rating_needed"), "A")
        this.choose("fuse", "Fuse", fuse, "A", False, "current", f"{this.full_load(this.result('cable'))}, asks for {needed} with ripple and headroom")
    for name, label, part, output, unit in (
        ("energy", "Energy from the battery a day", "loads", "energy_total", "Wh"),
        ("lowest", "Lowest state of charge in a bad week", "bad-week", "state_of_charge_lowest", "%"),
        ("unmet", "Need not met in a bad week", "bad-week", "energy_unmet", "Wh"),
        ("balance", "Balance of a mean day", "recharge", "balance", "Wh"),
    ):
        value = this.value(part, output)
        if value is not None:
            this.choose(name, label, value, unit, False, part, _energy_words(this) if part == "loads" else this.result(part).answer)


def _energy_words(this):
    """What the day's energy is made up from."""
    used = this.value("loads", "energy_ac") + this.value("loads", "energy_dc")
    loss, standby = (say(this.value("loads", name), "Wh", 2) for name in ("energy_loss", "energy_standby"))
    return f"{say(used, 'Wh')} for the loads, {loss} lost in conversion, {standby} standby"


def _judge_own(this):
    """What was typed against what would be chosen."""
    if not this.cut_out_fits:
        words = f"The cut-out of {typed(this.own_value('inverter', 'cut_out'), 'V')} entered does not belong to an inverter for {this.choices['voltage'].words}. It was left aside, and {typed(trip.CUT_OUT_12, 'V')} for each 12 V is used. Enter it anew."
        this.findings.append(Finding("cut-out-odd", "caution", words))
    result, own = this.result("battery"), this.own_value("battery", "capacity")
    if result is not None and own is not None and own < result.output("capacity_required").value * (1 - 1e-9):
        need = say(result.output("capacity_required").value, "Ah")
        this.findings.append(Finding("battery-small", "caution", f"The {typed(own, 'Ah')} entered are less than the {need} that these days of use ask for when the battery is old."))
    size, rating = this.result("size"), this.own_value("inverter", "rating")
    if size is not None and rating is not None and rating < size.output("rating_for_surge").value * (1 - 1e-9):
        this.findings.append(Finding("inverter-small", "caution", f"The {typed(rating, 'VA')} entered may not carry the worst start, which asks for {say(size.output('rating_for_surge').value, 'VA')}: ask for its surge, in amps and seconds."))


def _judge_box(this):
    """The heat of the box against the heat the inverter was sized for."""
    inside, size = this.value("heat", "temperature_inside"), this.result("size")
    if inside is None or size is None:
        return
    sized_for = size.input("ambient").value
    if inside > sized_for + BOX_HOTTER and inside > size.input("temperature_rated").value:
        words = f"The inverter's size allows for {say(sized_for, '°C', 2)} around it, and its box comes to {say(inside, '°C', 2)}: give it air, or enter that temperature."
        this.findings.append(Finding("box-hotter", "caution", words))


def _judge_wave(this):
    """Loads on an output that is no sine."""
    shape = this.own_choice("inverter", "shape")
    if shape in ("", "sine"):
        return
    classes = {}
    known = next(one.choices for one in CALCULATORS["waveform"].fields if one.name == "appliance")
    for one, row in zip(this.plan["loads"], this.loads or ()):
        entry = appliances.table().get(one.get("appliance", ""))
        if row.supply == "ac" and entry and entry["waveform_class"] in known:
            classes.setdefault(entry["waveform_class"], []).append(row.name)
    for kind, names in classes.items():
        found, _ = answer("waveform", {"shape": shape, "appliance": kind, "region": this.region})
        if found is not None and found.output("verdict").value in ("no", "poor"):
            level = "stop" if any(one.level == "stop" for one in found.findings) else "caution"
            this.findings.append(Finding(f"wave-{kind}", level, f"{capitalised(', '.join(names))}: {found.answer}"))
