"""Putting charge back: sun, engine, mains; a battery that takes less as it fills.

panel_power_for_energy   solar panel whose daily yield covers an energy
solar_energy             energy a solar panel brings to the battery in a day
supply_power             power a charger draws for its output
apparent_power           volt-amperes behind a power
power_gained             net power of charging a battery from its own inverter
taper_start              energy still missing when the charge begins to taper
bulk_time                time at full current until the taper, or the end, begins
tail_time                time of the tapering tail
energy_returned          energy returned within a time
split_current            current from an alternator into a battery through a plain connection
split_rate               power stored through a plain connection, and its current
split_energy             energy returned within a time through a plain connection
split_time               time a plain connection takes to return an energy
"""

import math

SPLIT_STEPS = 16
"""Steps in which a plain split connection is followed: good to 0.2 % of the energy, but for lithium nearly full."""


def panel_power_for_energy(energy, sun_time, derate):
    """Rated solar panel power whose daily yield covers a daily energy.

    P = E/(t_sun·k).

    Parameters
    ----------
    energy : float
        Taken from the battery in a day, [J]
    sun_time : float
        Peak-sun time in a day: the day's irradiation over 1000 W/m², [s]
    derate : float
        Yield at the battery over rated power times peak-sun time, all losses in it, [-]

    Returns
    -------
    power : float
        Rated panel power, [W]

    Notes
    -----
    An average day. A run of dull days needs a battery, not this number.

    References
    ----------
    Worksheet method of public stand-alone photovoltaic handbooks (SAND87-7023).

    Examples
    --------
    >>> panel_power_for_energy(500 * 3600.0, 4 * 3600.0, 0.625)
    200.0
    """
    return energy / (sun_time * derate)


def solar_energy(panel_power, sun_time, derate):
    """Energy a solar panel brings to the battery in a day.

    E = P·t_sun·k.

    Parameters
    ----------
    panel_power : float
        Rated panel power, [W]
    sun_time : float
        Peak-sun time in a day: the day's irradiation over 1000 W/m², [s]
    derate : float
        Yield at the battery's posts over rated power times peak-sun time, [-]

    Returns
    -------
    energy : float
        At the battery's posts, [J]

    Notes
    -----
    The derate ends at the posts: what the battery itself loses is not in it, or it would
    be counted twice.

    References
    ----------
    Worksheet method of public stand-alone photovoltaic handbooks (SAND87-7023).

    Examples
    --------
    >>> round(solar_energy(200.0, 4 * 3600.0, 0.65) / 3600, 9)
    520.0
    """
    return panel_power * sun_time * derate


def supply_power(current_dc, voltage_dc, efficiency):
    """Power a charger draws from its own supply for its output.

    P = V·I/η.

    Parameters
    ----------
    current_dc : float
        Output, [A]
    voltage_dc : float
        At the output, [V]
    efficiency : float
        0 to 1, [-]

    Returns
    -------
    power : float
        [W]

    Notes
    -----
    For a mains charger real power; what a generator must carry is the apparent power.

    References
    ----------
    Definition of efficiency.

    Examples
    --------
    >>> round(supply_power(40.0, 14.2, 0.87), 1)
    652.9
    """
    return voltage_dc * current_dc / efficiency


def apparent_power(power, power_factor):
    """Volt-amperes behind a power.

    S = P/PF.

    Parameters
    ----------
    power : float
        Real power, [W]
    power_factor : float
        Real over apparent power, [-]

    Returns
    -------
    apparent_power : float
        [VA]

    Notes
    -----
    A generator's rating in watts often holds only at a power factor of 0.8 or 1.

    References
    ----------
    IEC 60050-131, definition of the power factor.

    Examples
    --------
    >>> round(apparent_power(652.9, 0.6))
    1088
    """
    return power / power_factor


def power_gained(power, efficiency_charger, efficiency_inverter):
    """Net power into a battery that charges itself through its own inverter and a charger.

    P_net = P·(1 − 1/(η_c·η_i)).

    Parameters
    ----------
    power : float
        Output of the charger, [W]
    efficiency_charger : float
        0 to 1, [-]
    efficiency_inverter : float
        0 to 1, [-]

    Returns
    -------
    power : float
        Below zero: the battery is emptied, [W]

    Notes
    -----
    The battery's own loss comes on top.

    References
    ----------
    Power balance.

    Examples
    --------
    >>> round(power_gained(568.0, 0.87, 0.909))
    -150
    """
    return power * (1 - 1 / (efficiency_charger * efficiency_inverter))


def taper_start(power_stored, time_constant):
    """Energy still missing when a battery begins to take less than it is offered.

    E_t = P·τ.

    Parameters
    ----------
    power_stored : float
        Stored while the current is full, the battery's own loss taken off, [W]
    time_constant : float
        Of the taper, τ, [s]

    Returns
    -------
    energy : float
        [J]

    Notes
    -----
    The battery stores at most E_missing/τ. With τ of one hour that is the ampere-hour law
    of lead-acid charging: amps at most the amp-hours still missing. A larger charger
    reaches the taper sooner and has a longer tail.

    References
    ----------
    Ampere-hour law of lead-acid charging (1935).

    Examples
    --------
    >>> taper_start(240.0, 3600.0) / 3600
    240.0
    """
    return power_stored * time_constant


def bulk_time(energy_missing, energy_left, power_stored, time_constant):
    """Time at full current, until the taper begins or the charge is broken off.

    t = (E_missing − max(E_t, E_left))/P, 0 where the taper has begun already.

    Parameters
    ----------
    energy_missing : float
        At the start, [J]
    energy_left : float
        Still missing at the end, [J]
    power_stored : float
        Stored while the current is full, [W]
    time_constant : float
        Of the taper, τ, [s]

    Returns
    -------
    time : float
        [s]

    Notes
    -----
    `taper_start` is E_t.

    References
    ----------
    Integral of a constant rate.

    Examples
    --------
    >>> bulk_time(600.0, 60.0, 4.0, 60.0)
    90.0
    """
    end = max(power_stored * time_constant, energy_left)
    return max(energy_missing - end, 0.0 * end) / power_stored


def tail_time(energy_missing, energy_left, power_stored, time_constant):
    """Time of the tapering tail.

    t = τ·ln(min(E_missing, E_t)/E_left), 0 where the charge ends before the taper.

    Parameters
    ----------
    energy_missing : float
        At the start, [J]
    energy_left : float
        Still missing at the end, above zero, [J]
    power_stored : float
        Stored while the current is full, [W]
    time_constant : float
        Of the taper, τ, [s]

    Returns
    -------
    time : float
        [s]

    Notes
    -----
    Depends on what is left, not on how much was taken: the tail does not shrink with a
    smaller use, nor with a larger charger. Never quite ends, so a full charge is a share
    such as 98 %. Old or cold batteries are slower: errs short.

    References
    ----------
    Integral of dE/dt = −E/τ.

    Examples
    --------
    >>> round(tail_time(600.0, 60.0, 4.0, 60.0), 2)  # 60·ln(240/60)
    83.18
    """
    start = min(energy_missing, power_stored * time_constant)
    return time_constant * math.log(start / energy_left) if start > energy_left else 0.0 * time_constant


def energy_returned(energy_missing, power_stored, time_constant, time):
    """Energy returned to a battery within a time, taper and all.

    E = P·t in bulk; from the taper on, E_missing − E_t·e^(−(t − t_bulk)/τ).

    Parameters
    ----------
    energy_missing : float
        At the start, [J]
    power_stored : float
        Stored while the current is full, [W]
    time_constant : float
        Of the taper, τ, [s]
    time : float
        How long it charges, [s]

    Returns
    -------
    energy : float
        [J]

    Notes
    -----
    The other way round of `bulk_time` and `tail_time`.

    References
    ----------
    Integral of dE/dt = −min(P, E/τ).

    Examples
    --------
    >>> round(energy_returned(600.0, 4.0, 60.0, 90.0 + 83.18), 1)
    540.0
    """
    tail = min(energy_missing, power_stored * time_constant)
    bulk = (energy_missing - tail) / power_stored if energy_missing > tail else 0.0 * time
    if time <= bulk:
        return power_stored * time
    return energy_missing - tail * math.exp(-(time - bulk) / time_constant)


def split_current(voltage_alternator, voltage_open_circuit, resistance):
    """Current from an alternator into a battery through a plain connection.

    I = (V_alt − V_oc)/R, never below zero.

    Parameters
    ----------
    voltage_alternator : float
        Regulated, at the alternator, [V]
    voltage_open_circuit : float
        Of the battery at its state of charge, [V]
    resistance : float
        Of everything between: cable both ways, joints, battery, [Ω]

    Returns
    -------
    current : float
        [A]

    Notes
    -----
    A battery on charge stands above its rest voltage, the more the fuller it is, and an
    alternator that saves fuel lowers its voltage: errs high on both counts.

    References
    ----------
    Ohm's law.

    Examples
    --------
    >>> round(split_current(14.2, 12.8, 0.0311), 1)
    45.0
    """
    return max(voltage_alternator - voltage_open_circuit, 0.0 * voltage_open_circuit) / resistance


def split_rate(energy_missing, energy_full, voltage_alternator, resistance, resistance_path, current_max, efficiency, time_constant, rest_voltages):
    """Power a plain split connection stores at a state of charge, and the current behind it.

    P = min(η·V_post·I, E_missing/τ) with I = (V_alt − V_oc)/R and V_post = V_alt − I·R_path.

    Parameters
    ----------
    energy_missing : float
        [J]
    energy_full : float
        Of the full battery, [J]
    voltage_alternator : float
        Regulated, at the alternator, [V]
    resistance : float
        Of cable, joints and battery, [Ω]
    resistance_path : float
        Of cable and joints alone, [Ω]
    current_max : float
        The most the alternator gives, or the battery takes, [A]
    efficiency : float
        Energy out of the battery over energy into it, [-]
    time_constant : float
        Of the taper, τ, [s]
    rest_voltages : list of float
        Of the battery, at even steps of its state of charge from empty to full, [V]

    Returns
    -------
    power : float
        Stored, [W]
    current : float
        [A]

    Notes
    -----
    As `split_current`, errs high.

    References
    ----------
    Ohm's law, and the ampere-hour law of lead-acid charging.

    Examples
    --------
    >>> power, current = split_rate(4e6, 4e6, 14.2, 0.04, 0.02, 100.0, 0.5, 1.0, [12.2, 12.2])
    >>> round(power, 6), round(current, 6)  # 2 V over 40 mΩ; 13.2 V · 50 A · 0.5
    (330.0, 50.0)
    """
    stored, current = _split_free(energy_missing, energy_full, voltage_alternator, resistance, resistance_path, current_max, efficiency, rest_voltages)
    taken = energy_missing / time_constant
    return (stored, current) if stored <= taken else (taken, current * (taken / stored))


def _split_free(energy_missing, energy_full, voltage_alternator, resistance, resistance_path, current_max, efficiency, rest_voltages):
    """The same before the battery tapers."""
    places = len(rest_voltages) - 1
    place = (1 - energy_missing / energy_full) * places
    low = min(max(int(place), 0), places - 1)
    rest = rest_voltages[low] + (rest_voltages[low + 1] - rest_voltages[low]) * (place - low)
    current = min(split_current(voltage_alternator, rest, resistance), current_max)
    return efficiency * (voltage_alternator - current * resistance_path) * current, current


def split_energy(
    energy_missing, energy_full, voltage_alternator, resistance, resistance_path, current_max, efficiency, time_constant, rest_voltages, time
):
    """Energy a plain split connection returns within a time.

    E = ∫P dt with P of `split_rate`.

    Parameters
    ----------
    energy_missing : float
        At the start, [J]
    energy_full : float
        Of the full battery, [J]
    voltage_alternator : float
        Regulated, at the alternator, [V]
    resistance : float
        Of cable, joints and battery, [Ω]
    resistance_path : float
        Of cable and joints alone, [Ω]
    current_max : float
        The most the alternator gives, or the battery takes, [A]
    efficiency : float
        Energy out of the battery over energy into it, [-]
    time_constant : float
        Of the taper, τ, [s]
    rest_voltages : list of float
        Of the battery, at even steps of its state of charge from empty to full, [V]
    time : float
        How long the engine runs, [s]

    Returns
    -------
    energy : float
        Stored, [J]

    Notes
    -----
    Midpoint steps, `SPLIT_STEPS` of them, each with no more than the taper leaves room for.
    As `split_current`, errs high.

    References
    ----------
    Ohm's law, and the ampere-hour law of lead-acid charging.

    Examples
    --------
    >>> energy = split_energy(4e6, 4e6, 14.2, 0.04, 0.02, 100.0, 0.5, 1.0, [12.2, 12.2], 3600.0)
    >>> round(energy / 3600, 6)  # 330 W for an hour
    330.0
    """
    path = energy_full, voltage_alternator, resistance, resistance_path, current_max, efficiency, rest_voltages
    missing, step = energy_missing, time / SPLIT_STEPS
    share = 1 - math.exp(-step / time_constant)
    for _ in range(SPLIT_STEPS):
        halfway = missing - min(_split_free(missing, *path)[0] * step, missing * share) / 2
        missing = missing - min(_split_free(halfway, *path)[0] * step, missing * share)
    return energy_missing - missing


def split_time(
    energy_missing, energy_left, energy_full, voltage_alternator, resistance, resistance_path, current_max, efficiency, time_constant, rest_voltages
):
    """Time a plain split connection takes until so much is left to charge.

    t = ∫dE/P with P of `split_rate`.

    Parameters
    ----------
    energy_missing : float
        At the start, [J]
    energy_left : float
        Still missing at the end, [J]
    energy_full : float
        Of the full battery, [J]
    voltage_alternator : float
        Regulated, at the alternator, [V]
    resistance : float
        Of cable, joints and battery, [Ω]
    resistance_path : float
        Of cable and joints alone, [Ω]
    current_max : float
        The most the alternator gives, or the battery takes, [A]
    efficiency : float
        Energy out of the battery over energy into it, [-]
    time_constant : float
        Of the taper, τ, [s]
    rest_voltages : list of float
        Of the battery, at even steps of its state of charge from empty to full, [V]

    Returns
    -------
    time : float
        [s]

    Raises
    ------
    ValueError
        Where no current flows any more before that: the alternator's voltage is too low.

    Notes
    -----
    Simpson's rule over the logarithm of the energy missing, `SPLIT_STEPS` parts.

    References
    ----------
    As `split_energy`.

    Examples
    --------
    >>> round(split_time(4e6, 4e6 - 330 * 3600.0, 4e6, 14.2, 0.04, 0.02, 100.0, 0.5, 1.0, [12.2, 12.2]) / 3600, 5)
    1.0
    """
    path = energy_full, voltage_alternator, resistance, resistance_path, current_max, efficiency, time_constant, rest_voltages
    if energy_left >= energy_missing:
        return 0.0 * time_constant
    part = math.log(energy_missing / energy_left) / SPLIT_STEPS
    total = 0.0 * time_constant
    for place in range(SPLIT_STEPS + 1):
        missing = energy_missing * math.exp(-part * place)
        rate = split_rate(missing, *path)[0]
        if rate <= 0:
            raise ValueError("the alternator's voltage is too low to charge so far")
        weight = 1 if place in (0, SPLIT_STEPS) else 4 if place % 2 else 2
        total = total + weight * (missing / rate)
    return total * (part / 3)
