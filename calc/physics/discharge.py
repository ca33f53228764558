"""A battery emptied by a constant power, followed by its state of charge.

discharge_constant_power   time and charge from one state of charge down to another
state_of_charge_at_limit   state of charge at which a load meets a voltage limit
"""

from calc.physics import battery, circuit

STEPS = 24
"""Steps of equal charge; twice as many move the time by less than a thousandth."""


def discharge_constant_power(
    power_dc, capacity, rate_time, peukert, resistance, rest_voltages, states_of_charge, state_start, state_end
):
    """Time and charge a constant power takes from one state of charge down to another.

    t = Σ C·Δs/(I·w), Q = Σ C·Δs/w, with I = 2·P/(V_oc + √(V_oc² − 4·R·P)) and
    w = (I·H/C)^(k − 1), never below 1, at the middle of each step Δs.

    Parameters
    ----------
    power_dc : float
        Taken at the end of the path, [W]
    capacity : float
        At the rated current, what age and cold have left of it, [C]
    rate_time : float
        Rated hours, [s]
    peukert : float
        Peukert exponent; 1 for lithium, [-]
    resistance : float
        Of battery and path together, over minutes, [Ω]
    rest_voltages : list of float
        Of the whole bank, rising, [V]
    states_of_charge : list of float
        Beside them, 0 to 1, [-]
    state_start : float
        State of charge at the start, [-]
    state_end : float
        State of charge at the end, not above the start, [-]

    Returns
    -------
    time : float
        [s]
    charge : float
        Drawn from the battery, [C]

    Notes
    -----
    The state of charge is what is left of the capacity at this current. The rest voltage
    follows it, so at a fast discharge the voltage is taken a little too low: errs short.
    Resistance is held constant, though it rises towards empty: errs long near the end.
    A power the path cannot deliver, and a state outside the table, are a ValueError of
    the functions used.

    References
    ----------
    Peukert's law with the rated hours; power balance of a source with resistance.

    Examples
    --------
    >>> time, charge = discharge_constant_power(1000.0, 100 * 3600.0, 20 * 3600.0, 1.0, 0.01, [12.8, 12.81], [0.0, 1.0], 1.0, 0.0)
    >>> round(time / 3600, 3), round(charge / 3600, 6)
    (1.197, 100.0)
    """
    step = (state_start - state_end) / STEPS
    time = charge = 0.0
    for place in range(STEPS):
        state = state_start - (place + 0.5) * step
        voltage = battery.voltage_at_rest(state, rest_voltages, states_of_charge)
        current = circuit.current_constant_power(power_dc, voltage, resistance, 0.0)
        part = capacity * step / battery.rate_factor(current, capacity, rate_time, peukert)
        charge = charge + part
        time = time + part / current
    return time, charge


def state_of_charge_at_limit(power_dc, voltage_limit, resistance, rest_voltages, states_of_charge):
    """State of charge at which a load brings the voltage at its end down to a limit.

    The s at which V_oc(s) = V_limit + R·P/V_limit.

    Parameters
    ----------
    power_dc : float
        Taken at the end of the path, [W]
    voltage_limit : float
        The limit there, [V]
    resistance : float
        Of battery and path together, over minutes, [Ω]
    rest_voltages : list of float
        Of the whole bank, rising, [V]
    states_of_charge : list of float
        Beside them, 0 to 1, [-]

    Returns
    -------
    state_of_charge : float
        The table's lowest where even that battery stays above the limit; above its highest
        where not even a full one does, [-]

    Notes
    -----
    The mean voltage; a cut-out that sees the trough of the ripple acts earlier.

    References
    ----------
    Power balance of a source with resistance.

    Examples
    --------
    >>> round(state_of_charge_at_limit(1100.0, 11.0, 0.0115, [12.06, 12.24], [0.25, 0.5]), 6)
    0.375
    """
    voltage = circuit.voltage_open_circuit_at_limit(power_dc, voltage_limit, resistance, 0.0, 0.0)
    if voltage <= rest_voltages[0]:
        return states_of_charge[0]
    if voltage > rest_voltages[-1]:
        return states_of_charge[-1] * (voltage / rest_voltages[-1])
    return battery.state_of_charge_at_rest(voltage, rest_voltages, states_of_charge)
