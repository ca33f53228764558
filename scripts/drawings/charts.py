"""Charts to read off where no computer runs: every line from a calculator, point by point."""

from calc.calculators.cable import size_name
from calc.render.words import quantity
from calc.result import Level, Series
from calc.units import to_si
from scripts.drawings.registry import drawing
from scripts.drawings.ruled import Chart, Scale
from scripts.drawings.values import answered, model

DASHES = ("solid", "dashed", "dotted")
CURRENTS = (10, 15, 20, 30, 40, 50, 60, 80, 100, 120, 150, 200)  # A
POWERS = (25, 30, 40, 50, 60, 80, 100, 125, 150, 200, 250, 300, 400, 500, 600, 700, 800, 900)  # W
RULE = "bs-7671-clipped"
"""The rule whose table holds the thin sizes too; its currents are at or below those of the flexible cables' table."""
CABLE_SIZES = (6, 10, 16, 25, 35, 50, 70, 95)  # mm²
TINY_LENGTH = "0.05 m"  # the shortest a form takes: there the fuse alone limits the current


def _from_to(first, last, between):
    """Where a line's points lie: at both of its ends, and at round values between, which all lines of a chart share."""
    return [first, *(value for value in between if first < value < last), last]


def _edge(holds, inside, outside):
    """Where, between two ends, something stops to hold; to a part in a million million."""
    for _ in range(40):
        middle = (inside * outside) ** 0.5
        inside, outside = (middle, outside) if holds(middle) else (inside, middle)
    return inside


def _points(pairs):
    return tuple((float(f"{x:.6g}"), float(f"{y:.6g}")) for x, y in pairs)


# ---- cable ----


def _cable(voltage, longest):
    """Longest run of each size within the drop, over the current, up to the current its fuse allows."""
    x, y = Scale("largest continuous current", "A", 8, 250, log=True), Scale("cable length, one way", "m", 0.5, longest, log=True)
    typed = {"voltage_nominal": f"{voltage} V", "rule": RULE, "length_one_way": TINY_LENGTH}
    run = model("dc-cable", **typed)
    series, names_at = [], []
    for number, square_mm in enumerate(CABLE_SIZES):
        area = to_si(square_mm, "mm²")
        most = run(area=area)["current_max"]

        def length(current):
            return run(area=area, current_dc=current)["length_one_way_max"]

        first = x.low if length(x.low) <= y.high else _edge(lambda current: length(current) > y.high, x.low, most)
        series.append(Series(str(square_mm), _points((current, min(length(current), y.high)) for current in _from_to(first, most, CURRENTS)), DASHES[number % 3]))
        names_at.append(first * (most / first) ** 0.2)
    result = answered("dc-cable", **typed)
    values = {name: quantity(result.input(name).value, "°C", 2) for name in ("ambient", "insulation", "terminal_temperature")}
    values |= {"drop": quantity(result.input("drop_limit").value, "%", 1), "ripple": quantity(result.input("ripple").value, "", 2)}
    values |= {"least": size_name(to_si(CABLE_SIZES[0], "mm²")), "most": size_name(to_si(CABLE_SIZES[-1], "mm²"))}
    values |= {"thin": quantity(series[0].points[-1][0], "A", 2), "thick": quantity(series[-1].points[-1][0], "A")}
    return Chart("", "", x, y, tuple(series), names_at=tuple(names_at), walls=True), values


_CABLE_DESCRIPTION = (
    "Longest run of cable, one way, over the largest continuous current at {voltage} volts, with one falling line for each cross-section from {{least}} to {{most}}. "
    "Each line ends in a dotted wall at the most current that its fuse allows: {{thin}} for the thinnest, {{thick}} for the thickest. Thicker cables lie further up and to the right."
)
_CABLE_CAPTION = (
    "Numbers on the lines are mm² of flexible copper. Drop at most {drop} of the nominal voltage, both ways counted. "
    "Heat and fuse by BS 7671 Table 4E1A, clipped to a surface. Around it {ambient}, insulation for {insulation}, terminals for {terminal_temperature}, ripple {ripple}."
)


@drawing("chart-cable-12", "Cable by current and length, 12 V", _CABLE_DESCRIPTION.format(voltage=12), _CABLE_CAPTION)
def chart_cable_12():
    return _cable(12, 15)


@drawing("chart-cable-24", "Cable by current and length, 24 V", _CABLE_DESCRIPTION.format(voltage=24), _CABLE_CAPTION)
def chart_cable_24():
    return _cable(24, 25)


@drawing("chart-cable-48", "Cable by current and length, 48 V", _CABLE_DESCRIPTION.format(voltage=48), _CABLE_CAPTION)
def chart_cable_48():
    return _cable(48, 40)


# ---- the inverter's volts ----


@drawing(
    "chart-volts",
    "Volts at the inverter by load and resistance, 12 V",
    "Mean voltage at the inverter over the power of what is switched on, with one falling line for each resistance of battery, cable and joints together, from 4 to 24 milliohms. "
    "All start just below {rest}, and bend down more the larger the resistance is. At 1000 watts the line of 8 milliohms stands at {eight} and that of 16 milliohms at {sixteen}.",
    "A 12\u00a0V battery that rests at {rest}; the inverter of {rating} that the calculators start from, with its usual losses. Mean volts: a cut-out that looks at the ripple’s trough acts sooner.",
)
def chart_volts():
    x, y = Scale("power of what is switched on", "W", 0, 2000), Scale("volts at the inverter", "V", 10, 12.6)
    run = model("supply-path", joint_resistance="0 mΩ", length_one_way=TINY_LENGTH, area="95 mm²")
    cable = run()["cable_resistance_loop"]

    def volts(power, resistance):
        return run(power_ac=float(power), battery_resistance=resistance - cable)["voltage_inverter"]

    series, names_at = [], []
    for number, (milliohms, name_at) in enumerate(((4, 1700), (6, 1600), (8, 1500), (12, 1300), (16, 900), (24, 500))):
        resistance = milliohms * 1e-3
        most = 2000.0 if _reaches(volts, 2000.0, resistance, y.low) else _edge(lambda power: _reaches(volts, power, resistance, y.low), 100.0, 2000.0)
        powers = _from_to(0.0, most, range(125, 2000, 125))
        series.append(Series(f"{milliohms} mΩ", _points((power, max(volts(power, resistance), y.low)) for power in powers), DASHES[number % 3]))
        names_at.append(name_at)
    example = answered("supply-path")
    values = {"rest": quantity(example.input("voltage_open_circuit").value, "V"), "rating": quantity(example.input("rating").value, "VA", 1), "eight": quantity(volts(1000, 8e-3), "V"), "sixteen": quantity(volts(1000, 16e-3), "V")}
    cut_out = example.input("cut_out").value
    return Chart("", "", x, y, tuple(series), (Level(f"usual cut-out, {quantity(cut_out, 'V')}", cut_out),), names_at=tuple(names_at)), values


def _reaches(volts, power, resistance, least):
    found = volts(power, resistance)
    return found is not None and found >= least


# ---- hours ----


def _hours(chemistry, capacities, names_at):
    """Running hours over the load, one line for each capacity."""
    x, y = Scale("power of what is switched on", "W", 20, 1000, log=True), Scale("running time", "h", 0.4, 60, log=True)
    run = model("runtime", chemistry=chemistry)

    def hours(power, capacity):
        return run(power_ac=power, capacity=capacity * 3600.0)["runtime"] / 3600.0

    series = []
    for number, capacity in enumerate(capacities):
        first = x.low if hours(x.low, capacity) <= y.high else _edge(lambda power: hours(power, capacity) > y.high, x.low, x.high)
        last = x.high if hours(x.high, capacity) >= y.low else _edge(lambda power: hours(power, capacity) > y.low, first, x.high)
        powers = _from_to(first, last, POWERS)
        series.append(Series(f"{capacity} Ah", _points((power, min(max(hours(power, capacity), y.low), y.high)) for power in powers), DASHES[number % 3]))
    example = answered("runtime", chemistry=chemistry)
    values = {name: quantity(example.input(name).value, unit, 2) for name, unit in (("depth_limit", "%"), ("age", "%"), ("temperature", "°C"), ("path_resistance", "mΩ"), ("standby_power", "W"))}
    values |= {"rating": quantity(example.input("rating").value, "VA", 1), "slow": quantity(hours(60.0, 100) * 3600, "h", 2), "fast": quantity(hours(300.0, 100) * 3600, "h", 2)}
    return Chart("", "", x, y, tuple(series), names_at=names_at), values


_HOURS_CAPTION = (
    "12\u00a0V battery, full at the start, {depth_limit} of it used, {age} left by age, {temperature}. Through an inverter of {rating} that takes {standby_power} by itself; "
    "{path_resistance} of cable and joints. It ends when that share is used, or at the cut-out."
)


@drawing(
    "chart-hours-lithium",
    "Running hours by load, lithium iron phosphate, 12 V",
    "Hours that a full lithium iron phosphate battery of 12 volts runs a load through the inverter, over the power of the load, with one falling line each for 50, 100, 200 and 400 amp-hours. "
    "At 60 watts the battery of 100 amp-hours runs for {slow}, at 300 watts for {fast}.",
    _HOURS_CAPTION,
)
def chart_hours_lithium():
    return _hours("lithium-iron-phosphate", (50, 100, 200, 400), (60.0, 80.0, 110.0, 150.0))


@drawing(
    "chart-hours-lead",
    "Running hours by load, AGM lead-acid, 12 V",
    "Hours that a full AGM battery of 12 volts runs a load through the inverter until the share one is willing to use is gone, over the power of the load, with one falling line each for 100, 200 and 400 amp-hours. "
    "At 60 watts the battery of 100 amp-hours runs for {slow}, at 300 watts for {fast}.",
    _HOURS_CAPTION,
)
def chart_hours_lead():
    return _hours("agm", (100, 200, 400), (70.0, 95.0, 130.0))


# ---- standby ----


@drawing(
    "chart-standby",
    "Amp-hours a day by standby watts",
    "Charge that an inverter left on takes from the battery in a day with nothing plugged in, over its standby power, with one rising line each for batteries of 12, 24 and 48 volts. "
    "At 20 watts it is {at12} at 12 volts, {at24} at 24 volts and {at48} at 48 volts.",
    "On all day and night, {volts} for each 12\u00a0V of battery. Half the hours, half the amp-hours. The watt-hours are the same at every voltage.",
)
def chart_standby():
    x, y = Scale("standby power", "W", 4, 60, log=True), Scale("charge a day", "Ah", 2, 120, log=True)
    run = model("standby")
    base = answered("standby").input("voltage_dc").value

    def charge(power, times):
        return run(standby_power=power, voltage_dc=base * times)["charge_per_day"] / 3600.0

    series = []
    for times, dash in zip((1, 2, 4), DASHES):
        first = x.low if charge(x.low, times) >= y.low else _edge(lambda power: charge(power, times) <= y.low, x.low, x.high)
        series.append(Series(f"{12 * times} V", _points((power, max(charge(power, times), y.low)) for power in _from_to(first, x.high, (5, 6, 8, 10, 15, 20, 30, 40, 50))), dash))
    values = {f"at{12 * times}": quantity(charge(20.0, times) * 3600, "Ah", 2) for times in (1, 2, 4)} | {"volts": quantity(base, "V")}
    return Chart("", "", x, y, tuple(series), names_at=(12.0, 16.0, 22.0)), values


# ---- stop voltage ----


@drawing(
    "chart-stop",
    "Stop voltage by current, 12 V lead-acid",
    "Voltage at the posts, under load, at which half of a lead-acid battery of 12 volts is used, over the current drawn, with one straight falling line for each battery resistance: 4, 8, 12 and 20 milliohms. "
    "All start at {rest} without current. At 100 amperes the line of 8 milliohms stands at {eight}.",
    "Half kept; read at the posts while the current flows. Through {rest} at rest, from the table of flooded batteries at {temperature}. Below the cut-out the inverter stops first.",
)
def chart_stop():
    x, y = Scale("current out of the battery", "A", 0, 200), Scale("stop voltage at the posts", "V", 9, 12.4)
    typed = {"chemistry": "lead-acid", "depth_limit": "50 %"}
    run = model("charge-state", **typed)
    rest = run()["stop_voltage_rest"]

    def stop(current, milliohms):
        # A reading that goes with the current: one far above what such a battery can show there is refused.
        reading = rest - current * milliohms * 1e-3
        return run(voltage=reading, current=float(current), battery_resistance=milliohms * 1e-3)["stop_voltage"]

    series = []
    for number, (milliohms, most) in enumerate(((4, 200), (8, 200), (12, 200), (20, 160))):
        series.append(Series(f"{milliohms} mΩ", _points((current, stop(current, milliohms)) for current in (0, most)), DASHES[number % 3]))
    result = answered("charge-state", **typed)
    cut_out = answered("supply-path").input("cut_out").value
    values = {"rest": quantity(rest, "V", 4), "eight": quantity(stop(100, 8), "V", 4), "temperature": quantity(result.input("temperature").value, "°C", 2)}
    return Chart("", "", x, y, tuple(series), (Level(f"usual cut-out, {quantity(cut_out, 'V')}", cut_out),), names_at=(150.0, 140.0, 130.0, 110.0)), values
