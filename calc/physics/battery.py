"""Batteries: rest voltage and state of charge; what temperature, age and rate leave of a capacity.

state_of_charge_at_rest    state of charge that goes with a rest voltage
voltage_at_rest            rest voltage that goes with a state of charge
voltage_unloaded           voltage at rest behind a terminal voltage under load
voltage_lingering          what is left of a past charge or load in the voltage
voltage_at_reference       rest voltage brought to another temperature
temperature_factor         factor on the capacity a battery must have in the cold
charge_over_time           charge drawn by a constant power
capacity_uncorrected       capacity that holds the days asked for
capacity_required          that capacity with its three factors
capacity_left              capacity that age and cold leave
rate_factor                by how much more a fast discharge counts
time_peukert               time a constant current takes to empty a battery
capacity_for_time          capacity that holds a current for a time
mass_of_energy             mass of a battery from its energy
energy_throughput          energy a battery gives in its life
"""


def state_of_charge_at_rest(voltage, rest_voltages, states_of_charge):
    """State of charge that goes with a rest voltage, by straight lines between table rows.

    s = s_a + (s_b − s_a)·(V − V_a)/(V_b − V_a).

    Parameters
    ----------
    voltage : float
        At rest: hours after charge or load, [V]
    rest_voltages : list of float
        Table column, rising, [V]
    states_of_charge : list of float
        Table column beside it, 0 to 1, [-]

    Returns
    -------
    state_of_charge : float
        0 to 1, [-]

    Raises
    ------
    ValueError
        Outside the table: no end row stands in for what lies beyond it.

    Notes
    -----
    Says nothing of the band around it, which for lithium iron phosphate is wider than
    most of the table.

    References
    ----------
    Linear interpolation.

    Examples
    --------
    >>> state_of_charge_at_rest(12.15, [12.06, 12.24], [0.25, 0.5])
    0.375
    """
    if not rest_voltages[0] <= voltage <= rest_voltages[-1]:
        raise ValueError("the rest voltage lies outside the table")
    for low, high, soc_low, soc_high in zip(
        rest_voltages, rest_voltages[1:], states_of_charge, states_of_charge[1:]
    ):
        if voltage <= high:
            return soc_low + (soc_high - soc_low) * ((voltage - low) / (high - low))
    return states_of_charge[-1]


def charge_over_time(power, voltage_dc, time):
    """Charge drawn from a battery by a constant power.

    Q = P/V·t.

    Parameters
    ----------
    power : float
        Drawn from the DC side, [W]
    voltage_dc : float
        Battery voltage while it is drawn, [V]
    time : float
        How long, [s]

    Returns
    -------
    charge : float
        [C]

    Notes
    -----
    Amp-hours are only comparable at one voltage.

    References
    ----------
    Definition of charge.

    Examples
    --------
    >>> round(charge_over_time(20.0, 12.8, 86400.0) / 3600, 3)
    37.5
    """
    return power / voltage_dc * time


def voltage_at_rest(state_of_charge, rest_voltages, states_of_charge):
    """Rest voltage that goes with a state of charge, by straight lines between table rows.

    V = V_a + (V_b − V_a)·(s − s_a)/(s_b − s_a).

    Parameters
    ----------
    state_of_charge : float
        0 to 1, [-]
    rest_voltages : list of float
        Table column, rising, [V]
    states_of_charge : list of float
        Table column beside it, 0 to 1, [-]

    Returns
    -------
    voltage : float
        At rest, [V]

    Raises
    ------
    ValueError
        Outside the table.

    Notes
    -----
    The inverse of `state_of_charge_at_rest`.

    References
    ----------
    Linear interpolation.

    Examples
    --------
    >>> round(voltage_at_rest(0.375, [12.06, 12.24], [0.25, 0.5]), 6)
    12.15
    """
    if not states_of_charge[0] <= state_of_charge <= states_of_charge[-1]:
        raise ValueError("the state of charge lies outside the table")
    for low, high, voltage_low, voltage_high in zip(
        states_of_charge, states_of_charge[1:], rest_voltages, rest_voltages[1:]
    ):
        if state_of_charge <= high:
            return voltage_low + (voltage_high - voltage_low) * ((state_of_charge - low) / (high - low))
    return rest_voltages[-1]


def voltage_unloaded(voltage, current_dc, resistance):
    """Voltage a battery would have without the current through it.

    V_oc = V + I·R.

    Parameters
    ----------
    voltage : float
        At the posts, [V]
    current_dc : float
        Out of the battery; negative while charging, [A]
    resistance : float
        Of the battery, over minutes, [Ω]

    Returns
    -------
    voltage : float
        Without the current, [V]

    Notes
    -----
    The resistance stands for the fast part only: what a long load or charge has left
    behind goes by `voltage_lingering`.

    References
    ----------
    Ohm's law.

    Examples
    --------
    >>> round(voltage_unloaded(11.93, 30.0, 0.009), 6)
    12.2
    """
    return voltage + current_dc * resistance


def voltage_lingering(voltage_at_once, time_rested, time_constant):
    """What is left in the voltage, after a rest, of a past charge or load.

    ΔV = ΔV_0·τ/(τ + t).

    Parameters
    ----------
    voltage_at_once : float
        Straight after, above the true rest voltage or (negative) below it, [V]
    time_rested : float
        Since then, [s]
    time_constant : float
        Rest that halves it, [s]

    Returns
    -------
    voltage : float
        Still to be taken off, [V]

    Notes
    -----
    A slow tail, as diffusion leaves one, rather than an exponential: common practice, and
    no more than a guide. Errs towards distrust after long rests.

    References
    ----------
    Common practice: hours for lead-acid, about an hour for lithium iron phosphate.

    Examples
    --------
    >>> voltage_lingering(0.3, 3600.0, 3600.0)
    0.15
    """
    return voltage_at_once * (time_constant / (time_constant + time_rested))


def voltage_at_reference(voltage, cells, coefficient, rise):
    """Rest voltage as it would be at the temperature of the rest-voltage table.

    V_ref = V − n·β·ΔT.

    Parameters
    ----------
    voltage : float
        At rest, [V]
    cells : float
        In series, [-]
    coefficient : float
        Of one cell's open-circuit voltage, [V/K]
    rise : float
        Battery temperature above the table's, [°C]

    Returns
    -------
    voltage : float
        At the table's temperature, [V]

    Notes
    -----
    For lead-acid about +0.2 mV/K a cell, from the reaction entropy. The correction
    printed for hydrometers is for the acid's density and has no place here.

    References
    ----------
    ΔS/2F of the lead-acid cell.

    Examples
    --------
    >>> round(voltage_at_reference(12.24, 6, 0.0002, -20.0), 6)
    12.264
    """
    return voltage - cells * coefficient * rise


def temperature_factor(temperature, temperatures, factors):
    """Factor on the capacity a battery must have, by straight lines between table rows.

    F_T = F_a + (F_b − F_a)·(T − T_a)/(T_b − T_a), never below 1.

    Parameters
    ----------
    temperature : float
        Of the battery at its coldest, [°C]
    temperatures : list of float
        Table column, rising, [°C]
    factors : list of float
        Table column beside it, falling to 1, [-]

    Returns
    -------
    factor : float
        At least 1, [-]

    Raises
    ------
    ValueError
        Colder than the table.

    Notes
    -----
    Multiplies the capacity required; the capacity available is divided by it. Warmth
    above the table's end gives no credit: it costs life.

    References
    ----------
    Worksheets for stand-alone photovoltaic systems; IEEE 485.

    Examples
    --------
    >>> temperature_factor(10.0, [4.4, 10.0, 26.7], [1.30, 1.19, 1.0])
    1.19
    >>> temperature_factor(40.0, [4.4, 10.0, 26.7], [1.30, 1.19, 1.0])
    1.0
    """
    if temperature < temperatures[0]:
        raise ValueError("the temperature lies below the table")
    if temperature >= temperatures[-1]:
        return max(factors[-1], 1.0)
    for low, high, factor_low, factor_high in zip(temperatures, temperatures[1:], factors, factors[1:]):
        if temperature <= high:
            break
    return max(factor_low + (factor_high - factor_low) * ((temperature - low) / (high - low)), 1.0)


def capacity_uncorrected(energy_per_day, days, voltage_nominal, depth_limit):
    """Capacity that holds so many days, before any factor.

    C_u = E·N/(V·d).

    Parameters
    ----------
    energy_per_day : float
        Taken from the battery in a day, [J]
    days : float
        Without any charge, [-]
    voltage_nominal : float
        Of the bank, [V]
    depth_limit : float
        Share of it that will be used, [-]

    Returns
    -------
    capacity : float
        [C]

    Notes
    -----
    At a rate no faster than the rated one. The energy is that on the DC side: inverter
    losses and standby are in it.

    References
    ----------
    Definition of charge; IEEE 485 form.

    Examples
    --------
    >>> capacity_uncorrected(1200 * 3600.0, 2.0, 12.0, 0.5) / 3600
    400.0
    """
    return energy_per_day * days / (voltage_nominal * depth_limit)


def capacity_required(capacity, factor_temperature, factor_ageing, factor_design):
    """Capacity to buy: the uncorrected one times temperature, ageing and design margin.

    C = C_u·F_T·F_a·F_d, each factor at least 1.

    Parameters
    ----------
    capacity : float
        Uncorrected, [C]
    factor_temperature : float
        For the cold, [-]
    factor_ageing : float
        1/0.8 where it is replaced at 80 % of its capacity, [-]
    factor_design : float
        For what was forgotten, [-]

    Returns
    -------
    capacity : float
        Rated, [C]

    Notes
    -----
    All three multiply: each is a share of what the others leave.

    References
    ----------
    IEEE 485.

    Examples
    --------
    >>> round(capacity_required(100.0, 1.19, 1.25, 1.1), 6)
    163.625
    """
    return capacity * factor_temperature * factor_ageing * factor_design


def capacity_left(capacity, capacity_share, factor_temperature):
    """Capacity that age and cold leave of the rated one.

    C_e = C·a/F_T.

    Parameters
    ----------
    capacity : float
        Rated, [C]
    capacity_share : float
        What age has left of it, [-]
    factor_temperature : float
        For the cold, at least 1, [-]

    Returns
    -------
    capacity : float
        At the rated current, [C]

    Notes
    -----
    The same factor that multiplies a required capacity divides an available one.

    References
    ----------
    IEEE 485, turned round.

    Examples
    --------
    >>> capacity_left(100.0, 0.9, 1.25)
    72.0
    """
    return capacity * capacity_share / factor_temperature


def rate_factor(current_dc, capacity, rate_time, peukert):
    """By how much more each amp-hour of a fast discharge counts.

    w = (I·H/C)^(k − 1), never below 1.

    Parameters
    ----------
    current_dc : float
        Drawn, [A]
    capacity : float
        At the rated current, [C]
    rate_time : float
        Rated hours, of the same sheet, [s]
    peukert : float
        Peukert exponent, of the same sheet; 1 for lithium, [-]

    Returns
    -------
    factor : float
        At least 1: a capacity is never above the rated one, [-]

    Notes
    -----
    Peukert's law as a weight on the charge drawn, so that a current that changes can be
    followed step by step. Not across rests: a rested battery gives back part of what a
    fast discharge left in it, so this errs low for loads that come and go.

    References
    ----------
    Peukert's law with the rated hours.

    Examples
    --------
    >>> round(rate_factor(10.0, 100 * 3600.0, 20 * 3600.0, 1.2), 6)
    1.148698
    >>> rate_factor(1.0, 100 * 3600.0, 20 * 3600.0, 1.2)
    1.0
    """
    return max(current_dc * rate_time / capacity, 1.0) ** (peukert - 1)


def time_peukert(current_dc, capacity, rate_time, peukert):
    """Time a constant current takes to empty a lead-acid battery.

    t = H·(C/(I·H))^k, and never more charge than the rated capacity.

    Parameters
    ----------
    current_dc : float
        Drawn, [A]
    capacity : float
        At the rated current, [C]
    rate_time : float
        Rated hours, of the same sheet, [s]
    peukert : float
        Peukert exponent, of the same sheet, [-]

    Returns
    -------
    time : float
        [s]

    Notes
    -----
    The form with the rated hours. The older form, t = C/I^k, takes its capacity at one
    amp: the same numbers put into it give 14.5 h where this gives 20 h.

    References
    ----------
    Peukert's law with the rated hours.

    Examples
    --------
    >>> round(time_peukert(10.0, 100 * 3600.0, 20 * 3600.0, 1.2) / 3600, 4)
    8.7055
    """
    return capacity / (current_dc * rate_factor(current_dc, capacity, rate_time, peukert))


def capacity_for_time(current_dc, time, rate_time, peukert):
    """Capacity that holds a constant current for a time: Peukert's law the other way round.

    C = I·H·(t/H)^(1/k), and never less than the charge I·t.

    Parameters
    ----------
    current_dc : float
        Drawn, [A]
    time : float
        How long, [s]
    rate_time : float
        Rated hours the capacity will be quoted at, [s]
    peukert : float
        Peukert exponent; 1 for lithium, [-]

    Returns
    -------
    capacity : float
        At the rated current, [C]

    Notes
    -----
    For times longer than the rated ones it is I·t: slow discharge earns no credit.

    References
    ----------
    Peukert's law with the rated hours, solved for the capacity.

    Examples
    --------
    >>> round(capacity_for_time(10.0, 8.7055 * 3600, 20 * 3600.0, 1.2) / 3600, 2)
    100.0
    """
    if time >= rate_time:
        return current_dc * time
    return current_dc * rate_time * (time / rate_time) ** (1 / peukert)


def mass_of_energy(energy, specific_energy):
    """Mass of a battery from its nominal energy.

    m = E/e.

    Parameters
    ----------
    energy : float
        Nominal, [J]
    specific_energy : float
        Of its kind, [J/kg]

    Returns
    -------
    mass : float
        [kg]

    Notes
    -----
    Cases, handles and protection included; racks and cables not.

    References
    ----------
    Definition.

    Examples
    --------
    >>> mass_of_energy(1200 * 3600.0, 40 * 3600.0)
    30.0
    """
    return energy / specific_energy


def energy_throughput(energy, depth, cycles, capacity_end):
    """Energy a battery gives in its life, if its sheet's cycles hold.

    E = n·d·E_n·(1 + a_end)/2.

    Parameters
    ----------
    energy : float
        Nominal, [J]
    depth : float
        Depth of each cycle, of the capacity when new, [-]
    cycles : float
        At that depth, from the battery's sheet, [-]
    capacity_end : float
        Share of the capacity left at their end, [-]

    Returns
    -------
    energy : float
        [J]

    Notes
    -----
    Capacity taken to fade in a straight line. Sheets count cycles at a steady warm
    temperature with a full charge after each: a battery in use gets less.

    References
    ----------
    Definition.

    Examples
    --------
    >>> round(energy_throughput(1000.0, 0.5, 500.0, 0.8))
    225000
    """
    return cycles * depth * energy * (1 + capacity_end) / 2
