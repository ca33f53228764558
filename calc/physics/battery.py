"""Batteries: rest voltage and state of charge; charge drawn over a time.

state_of_charge_at_rest    state of charge that goes with a rest voltage
charge_over_time           charge drawn by a constant power
"""


def state_of_charge_at_rest(voltage, rest_voltages, states_of_charge):
    """State of charge that goes with a rest voltage, by straight lines between table rows.

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
