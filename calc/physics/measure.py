"""What a multimeter and a clamp tell: resistances, heat, standby, and how well they are known.

resistance_two_loads     resistance behind the meter's points, from two loads
error_two_loads          how well a two-load test knows it
current_step_needed      the step of current that knows it to a wanted error
voltage_without_load     the voltage a two-load test points back to
resistance_piece         resistance of a piece from the voltage across it
heat_piece               heat in a piece
current_through_turns    current of a cable wound through a clamp
power_from_clamp         DC power from a voltage and a clamp's reading
"""


def resistance_two_loads(voltage_step, current_step):
    """Resistance behind the points where the meter stood, from two loads.

    R = (V_1 − V_2)/(I_2 − I_1).

    Parameters
    ----------
    voltage_step : float
        Fall of the voltage, V_1 − V_2, [V]
    current_step : float
        Rise of the current, I_2 − I_1, [A]

    Returns
    -------
    resistance : float
        At the posts: the battery's own, [Ω]

    Notes
    -----
    Read within half a minute; over minutes a battery's resistance is larger, in the first
    milliseconds smaller.

    References
    ----------
    Ohm's law.

    Examples
    --------
    >>> round(1e3 * resistance_two_loads(12.62 - 12.05, 98.0 - 3.0), 3)
    6.0
    """
    return voltage_step / current_step


def error_two_loads(voltage_step, current_step, resolution, gain_error, offset_error):
    """How well a two-load test knows the resistance.

    e = √((√2·d/2/ΔV)² + g² + (o/ΔI)²).

    Parameters
    ----------
    voltage_step : float
        Fall of the voltage, [V]
    current_step : float
        Rise of the current, [A]
    resolution : float
        Last digit of the voltmeter, d, [V]
    gain_error : float
        Accuracy of meter and clamp as shares of the reading, root of the sum of squares, [-]
    offset_error : float
        The clamp's drift between the two readings, o, [A]

    Returns
    -------
    error : float
        Relative, either way, [-]

    Notes
    -----
    Half a digit for each of the two voltages; errors independent. An offset the clamp
    keeps through both readings cancels: errs high.

    References
    ----------
    JCGM 100, 5.1.2.

    Examples
    --------
    >>> round(error_two_loads(0.54, 90.0, 0.01, 0.03, 1.0), 3)
    0.035
    """
    return ((0.5**0.5 * resolution / voltage_step) ** 2 + gain_error**2 + (offset_error / current_step) ** 2) ** 0.5


def current_step_needed(resistance, resolution, gain_error, offset_error, error):
    """Step of current at which a two-load test knows the resistance to a wanted error.

    ΔI = √((√2·d/2/R)² + o²)/√(e² − g²).

    Parameters
    ----------
    resistance : float
        About what is measured, [Ω]
    resolution : float
        Last digit of the voltmeter, d, [V]
    gain_error : float
        Accuracy of meter and clamp as shares of the reading, root of the sum of squares, [-]
    offset_error : float
        The clamp's drift between the two readings, o, [A]
    error : float
        Wanted, larger than the gain error, [-]

    Returns
    -------
    current_step : float
        I_2 − I_1, [A]

    Raises
    ------
    ValueError
        When the instruments' gain alone is worse than the error wanted.

    Notes
    -----
    `error_two_loads` solved for ΔI.

    References
    ----------
    JCGM 100, 5.1.2.

    Examples
    --------
    >>> round(current_step_needed(0.006, 0.01, 0.03, 1.0, 0.05), 1)
    38.6
    """
    if error <= gain_error:
        raise ValueError("the instruments' gain alone is worse than that")
    return ((0.5**0.5 * resolution / resistance) ** 2 + offset_error**2) ** 0.5 / (error**2 - gain_error**2) ** 0.5


def voltage_without_load(voltage, current, resistance):
    """The voltage a two-load test points back to.

    V_0 = V_1 + I_1·R.

    Parameters
    ----------
    voltage : float
        At the smaller load, [V]
    current : float
        The smaller load, [A]
    resistance : float
        From the two-load test, [Ω]

    Returns
    -------
    voltage : float
        With nothing connected, just then, [V]

    Notes
    -----
    Not a rest voltage: a battery takes hours to recover.

    References
    ----------
    Ohm's law.

    Examples
    --------
    >>> round(voltage_without_load(12.62, 3.0, 0.006), 3)
    12.638
    """
    return voltage + current * resistance


def resistance_piece(voltage, current):
    """Resistance of a piece from the voltage across it.

    R = U/I.

    Parameters
    ----------
    voltage : float
        Across the piece, [V]
    current : float
        Through it, [A]

    Returns
    -------
    resistance : float
        Of the piece, [Ω]

    Notes
    -----
    Millivolts over amps are milliohms.

    References
    ----------
    Ohm's law.

    Examples
    --------
    >>> round(1e3 * resistance_piece(0.049, 98.0), 3)
    0.5
    """
    return voltage / current


def heat_piece(voltage, current):
    """Heat in a piece.

    P = U·I.

    Parameters
    ----------
    voltage : float
        Across the piece, [V]
    current : float
        Through it, [A]

    Returns
    -------
    power : float
        Turned to heat there, [W]

    Notes
    -----
    A clamp shows the mean current; with ripple the heat is up to half as much again:
    errs low.

    References
    ----------
    Joule's law.

    Examples
    --------
    >>> round(heat_piece(0.180, 180.0), 6)
    32.4
    """
    return voltage * current


def current_through_turns(reading, turns):
    """Current of a cable wound through a clamp several times.

    I = I_read/N.

    Parameters
    ----------
    reading : float
        What the clamp shows, [A]
    turns : float
        Times the cable runs through the jaws, [-]

    Returns
    -------
    current : float
        In the cable, [A]

    Notes
    -----
    Divides the clamp's offset along with the reading.

    References
    ----------
    Ampère's law.

    Examples
    --------
    >>> current_through_turns(8.0, 5)
    1.6
    """
    return reading / turns


def power_from_clamp(voltage, current):
    """DC power from a voltage and a current.

    P = V·I.

    Parameters
    ----------
    voltage : float
        Where the current is measured, [V]
    current : float
        Mean, [A]

    Returns
    -------
    power : float
        [W]

    Notes
    -----
    Mean times mean: right where the voltage hardly ripples.

    References
    ----------
    Definition of power.

    Examples
    --------
    >>> power_from_clamp(12.5, 1.6)
    20.0
    """
    return voltage * current
