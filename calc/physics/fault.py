"""Fault currents: what a battery bank drives into a short, and what an inverter can.

resistance_string          resistance of a string of batteries from its capacity
current_prospective        current into a fault from paralleled strings
current_into_string        current the other strings drive into a fault within one
current_limit              most an inverter delivers into a fault
rating_for_current         inverter whose limit reaches a given current
"""


def resistance_string(resistance_by_capacity, capacity, blocks):
    """Resistance of one string of batteries, from a figure typical of their kind.

    R = ρ_C·n/C.

    Parameters
    ----------
    resistance_by_capacity : float
        Resistance times capacity of one 12 V block, [Ω·A·s]
    capacity : float
        Of one string, [A·s]
    blocks : float
        12 V blocks in series, [-]

    Returns
    -------
    resistance : float
        Of the string, [Ω]

    Notes
    -----
    A bank's own short-circuit figure from its data sheet is better.

    References
    ----------
    Resistance falls with the plate area, and so with the capacity.

    Examples
    --------
    >>> round(1e3 * resistance_string(0.3 * 3600, 100 * 3600, 2), 6)
    6.0
    """
    return resistance_by_capacity * blocks / capacity


def current_prospective(voltage, resistance_string, strings, resistance_path):
    """Current into a dead short behind some cable.

    I = V/(R_string/n + R_path).

    Parameters
    ----------
    voltage : float
        Open-circuit voltage of the bank, [V]
    resistance_string : float
        Of one string, all its batteries in series, [Ω]
    strings : float
        Strings in parallel, [-]
    resistance_path : float
        From the posts to the fault and back, [Ω]

    Returns
    -------
    current : float
        Prospective fault current, [A]

    Notes
    -----
    Ignores the inductance that slows the first milliseconds: errs high. Strings in
    parallel add; batteries in series do not.

    References
    ----------
    Ohm's law.

    Examples
    --------
    >>> current_prospective(12.0, 0.005, 1, 0.0)
    2400.0
    >>> round(current_prospective(12.0, 0.005, 3, 0.0), 6)
    7200.0
    """
    return voltage / (resistance_string / strings + resistance_path)


def current_into_string(voltage, resistance_string, strings):
    """Current the other strings drive into a fault inside one of them.

    I = V·(n − 1)/R_string.

    Parameters
    ----------
    voltage : float
        Open-circuit voltage of the bank, [V]
    resistance_string : float
        Of one string, [Ω]
    strings : float
        Strings in parallel, [-]

    Returns
    -------
    current : float
        Through the lead of the faulty string, [A]

    Notes
    -----
    Ignores the leads between the strings: errs high. The main fuse does not see it.

    References
    ----------
    Ohm's law.

    Examples
    --------
    >>> current_into_string(12.0, 0.005, 3)
    4800.0
    """
    return voltage * (strings - 1) / resistance_string


def current_limit(rating, multiple, voltage_ac):
    """Most an inverter delivers into a fault on its output.

    I = x·S_r/V.

    Parameters
    ----------
    rating : float
        Continuous rating in apparent power, [VA]
    multiple : float
        Current limit over rated current, [-]
    voltage_ac : float
        Output voltage, rms, [V]

    Returns
    -------
    current : float
        rms, [A]

    Notes
    -----
    Taken as lasting; most inverters switch themselves off within a second or less.

    References
    ----------
    An inverter is a source of limited current, not of low resistance.

    Examples
    --------
    >>> round(current_limit(1000.0, 2.0, 230.0), 2)
    8.7
    """
    return multiple * rating / voltage_ac


def rating_for_current(current, multiple, voltage_ac):
    """Inverter whose current limit reaches a given current.

    S_r = I·V/x.

    Parameters
    ----------
    current : float
        rms, [A]
    multiple : float
        Current limit over rated current, [-]
    voltage_ac : float
        Output voltage, rms, [V]

    Returns
    -------
    rating : float
        Continuous rating in apparent power, [VA]

    Notes
    -----
    The inverse of `current_limit`.

    References
    ----------
    An inverter is a source of limited current, not of low resistance.

    Examples
    --------
    >>> rating_for_current(50.0, 2.0, 230.0)
    5750.0
    """
    return current * voltage_ac / multiple
