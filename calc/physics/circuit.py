"""A load of constant power behind resistance, with ripple: what an inverter makes of a battery.

resistance_for_heat       loop resistance as the heating current sees it
current_constant_power    current drawn through resistance by a constant-power load
voltage_mean              mean voltage behind the resistance
voltage_trough            lowest voltage within a ripple cycle
power_collapse            the largest power the loop can deliver at all
current_at_collapse       the current at which it does
power_at_current          power delivered at a given mean current
current_at_voltage        mean current at which the sensed voltage reaches a limit
voltage_open_circuit_at_limit   open-circuit voltage below which a load is cut out
current_rms               heating value of a rippling current
"""


def resistance_for_heat(resistance, ripple):
    """Loop resistance as the power balance sees it when the current ripples.

    R′ = R·(1 + r²/2), since the heat follows the rms current and the charge the mean.

    Parameters
    ----------
    resistance : float
        Resistance of the whole loop, [Ω]
    ripple : float
        Amplitude of the sinusoidal ripple over the mean current, [-]

    Returns
    -------
    resistance : float
        Effective resistance, [Ω]

    Notes
    -----
    Sinusoidal ripple at twice the mains frequency.

    References
    ----------
    rms of I·(1 + r·sin ωt).

    Examples
    --------
    >>> round(resistance_for_heat(0.009, 0.8), 6)
    0.01188
    """
    return resistance * (1 + ripple**2 / 2)


def current_rms(current_dc, ripple):
    """Heating value of a DC current with a sinusoidal ripple.

    I_rms = I·√(1 + r²/2).

    Parameters
    ----------
    current_dc : float
        Mean current, [A]
    ripple : float
        Amplitude of the ripple over the mean current, [-]

    Returns
    -------
    current : float
        Root mean square current, [A]

    Notes
    -----
    A clamp meter on its DC range shows the mean, the smaller of the two.

    References
    ----------
    rms of I·(1 + r·sin ωt).

    Examples
    --------
    >>> round(current_rms(100.0, 1.0), 3)
    122.474
    """
    return current_dc * (1 + ripple**2 / 2) ** 0.5


def power_collapse(voltage_open_circuit, resistance, ripple):
    """Largest power the loop can deliver: above it there is no operating point.

    P = V_oc²/(4·R′).

    Parameters
    ----------
    voltage_open_circuit : float
        Battery voltage at no load, [V]
    resistance : float
        Resistance of the whole loop, [Ω]
    ripple : float
        Amplitude of the ripple over the mean current, [-]

    Returns
    -------
    power : float
        Power at the end of the loop, [W]

    Notes
    -----
    A cut-out acts long before; this is where the algebra ends.

    References
    ----------
    Maximum power transfer.

    Examples
    --------
    >>> round(power_collapse(12.0, 0.009, 0.0), 6)
    4000.0
    """
    return voltage_open_circuit**2 / (4 * resistance_for_heat(resistance, ripple))


def current_at_collapse(voltage_open_circuit, resistance, ripple):
    """Mean current at which the loop delivers its largest power; beyond it the power falls.

    I = V_oc/(2·R′).

    Parameters
    ----------
    voltage_open_circuit : float
        Battery voltage at no load, [V]
    resistance : float
        Resistance of the whole loop, [Ω]
    ripple : float
        Amplitude of the ripple over the mean current, [-]

    Returns
    -------
    current : float
        Mean current, [A]

    Notes
    -----
    No load of constant power settles beyond it.

    References
    ----------
    Maximum power transfer.

    Examples
    --------
    >>> round(current_at_collapse(12.0, 0.006, 0.0), 6)
    1000.0
    """
    return voltage_open_circuit / (2 * resistance_for_heat(resistance, ripple))


def current_constant_power(power_dc, voltage_open_circuit, resistance, ripple):
    """Mean current a constant-power load draws through resistance.

    The smaller root of P = V_oc·I − R′·I², in the form that also holds for R = 0:
    I = 2·P/(V_oc + √(V_oc² − 4·R′·P)).

    Parameters
    ----------
    power_dc : float
        Power taken at the end of the loop, [W]
    voltage_open_circuit : float
        Battery voltage at no load, [V]
    resistance : float
        Resistance of the whole loop, [Ω]
    ripple : float
        Amplitude of the ripple over the mean current, [-]

    Returns
    -------
    current : float
        Mean current, [A]

    Raises
    ------
    ValueError
        When the loop cannot deliver the power: no operating point.

    Notes
    -----
    An inverter holds its output, so it draws more current as its supply falls. The
    larger root is unstable and never seen.

    References
    ----------
    Power balance of a source with resistance.

    Examples
    --------
    >>> round(current_constant_power(5000.0, 51.2, 0.012, 0.0), 9)
    100.0
    """
    discriminant = voltage_open_circuit**2 - 4 * resistance_for_heat(resistance, ripple) * power_dc
    if discriminant < 0:
        raise ValueError("no operating point: the loop cannot deliver this power")
    return 2 * power_dc / (voltage_open_circuit + discriminant**0.5)


def voltage_mean(voltage_open_circuit, resistance, current_dc):
    """Mean voltage behind the resistance.

    V = V_oc − I·R.

    Parameters
    ----------
    voltage_open_circuit : float
        Battery voltage at no load, [V]
    resistance : float
        Resistance up to the point of interest, [Ω]
    current_dc : float
        Mean current, [A]

    Returns
    -------
    voltage : float
        Mean voltage, [V]

    Notes
    -----
    A meter on its DC range shows this.

    References
    ----------
    Ohm's law.

    Examples
    --------
    >>> voltage_mean(51.2, 0.012, 100.0)
    50.0
    """
    return voltage_open_circuit - current_dc * resistance


def voltage_trough(voltage_open_circuit, resistance, current_dc, ripple):
    """Lowest voltage within a ripple cycle.

    V_trough = V_oc − I·R·(1 + r).

    Parameters
    ----------
    voltage_open_circuit : float
        Battery voltage at no load, [V]
    resistance : float
        Resistance up to the point of interest, [Ω]
    current_dc : float
        Mean current, [A]
    ripple : float
        Amplitude of the ripple over the mean current, [-]

    Returns
    -------
    voltage : float
        Voltage at the peak of the current, [V]

    Notes
    -----
    Inductance of the loop and the inverter's own capacitors soften it: errs low.

    References
    ----------
    Ohm's law at the crest of I·(1 + r·sin ωt).

    Examples
    --------
    >>> round(voltage_trough(12.2, 0.009, 100.0, 0.8), 6)
    10.58
    """
    return voltage_open_circuit - current_dc * resistance * (1 + ripple)


def power_at_current(voltage_open_circuit, resistance, current_dc, ripple):
    """Power delivered at the end of the loop at a given mean current.

    P = V_oc·I − R′·I².

    Parameters
    ----------
    voltage_open_circuit : float
        Battery voltage at no load, [V]
    resistance : float
        Resistance of the whole loop, [Ω]
    current_dc : float
        Mean current, [A]
    ripple : float
        Amplitude of the ripple over the mean current, [-]

    Returns
    -------
    power : float
        Power at the end of the loop, [W]

    Notes
    -----
    Rises up to I = V_oc/(2·R′), then falls.

    References
    ----------
    Power balance of a source with resistance.

    Examples
    --------
    >>> round(power_at_current(51.2, 0.012, 100.0, 0.0), 6)
    5000.0
    """
    return voltage_open_circuit * current_dc - resistance_for_heat(resistance, ripple) * current_dc**2


def current_at_voltage(voltage_open_circuit, voltage_limit, resistance, ripple_sensed):
    """Mean current at which the sensed voltage falls to a limit.

    I = (V_oc − V_limit)/(R·(1 + s)), with s = 0 where the mean is sensed and s = r where
    the trough is.

    Parameters
    ----------
    voltage_open_circuit : float
        Battery voltage at no load, [V]
    voltage_limit : float
        The limit, for example the cut-out, [V]
    resistance : float
        Resistance of the whole loop, [Ω]
    ripple_sensed : float
        Ripple as the sensor sees it, s, [-]

    Returns
    -------
    current : float
        Mean current, [A]

    Notes
    -----
    Negative where the battery rests below the limit.

    References
    ----------
    Ohm's law.

    Examples
    --------
    >>> round(current_at_voltage(12.2, 11.0, 0.009, 0.8), 4)
    74.0741
    """
    return (voltage_open_circuit - voltage_limit) / (resistance * (1 + ripple_sensed))


def voltage_open_circuit_at_limit(power_dc, voltage_limit, resistance, ripple, ripple_sensed):
    """Open-circuit voltage at which a load just brings the sensed voltage down to a limit.

    From V_oc = V_limit + R·(1 + s)·I and P = V_oc·I − R′·I²:
    I = 2·P/(V_limit + √(V_limit² + 4·q·P)) with q = R·(1 + s) − R′.

    Parameters
    ----------
    power_dc : float
        Power taken at the end of the loop, [W]
    voltage_limit : float
        The limit, for example the cut-out, [V]
    resistance : float
        Resistance of the whole loop, [Ω]
    ripple : float
        Amplitude of the ripple over the mean current, [-]
    ripple_sensed : float
        Ripple as the sensor sees it: 0 for the mean, `ripple` for the trough, [-]

    Returns
    -------
    voltage : float
        Open-circuit voltage, [V]

    Raises
    ------
    ValueError
        When ripple alone makes the power unreachable at this limit.

    Notes
    -----
    Holds the resistance constant, though a battery's rises as it empties: errs low. Where
    the limit lies below half of the open-circuit voltage the load collapses before it is
    cut out; the answer then errs high.

    References
    ----------
    Power balance of a source with resistance.

    Examples
    --------
    >>> round(voltage_open_circuit_at_limit(1466.6667, 11.0, 0.009, 0.0, 0.0), 5)
    12.2
    """
    excess = resistance * (1 + ripple_sensed) - resistance
    excess = excess - (resistance_for_heat(resistance, ripple) - resistance)
    discriminant = voltage_limit**2 + 4 * excess * power_dc
    if discriminant < 0:
        raise ValueError("no operating point at this limit")
    current = 2 * power_dc / (voltage_limit + discriminant**0.5)
    return voltage_limit + resistance * (1 + ripple_sensed) * current
