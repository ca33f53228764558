"""The shape of an inverter's output: three levels or a square, and what an appliance makes of it.

voltage_rms                      heating value of a three-level wave
voltage_peak                     peak that gives a heating value
voltage_mean_rectified           mean of the wave with its negative half turned over
reading_average_responding       what a meter shows that is not made for this shape
conduction_angle_from_readings   the conduction angle two meters give away
harmonic_peak                    amplitude of one odd harmonic
harmonic_share                   the same over the fundamental
distortion_total                 total harmonic distortion, every order in it
distortion_to_order              distortion of a list of harmonics
crest_factor                     peak over rms
form_factor                      rms over rectified mean
harmonic_voltage_factor          weight of the harmonics in a motor
motor_harmonic_heat              copper heat the harmonics add in a motor
dropper_current_rms              current of a series capacitor on a wave with edges
dropper_current_rms_sine         the same on a sine

The conduction angle is how much of each half cycle, of π, the output is not at zero. A
square wave is a conduction angle of π.
"""

import math


def voltage_rms(voltage_peak, conduction_angle):
    """Heating value of a three-level wave.

    V_rms = V_p·√(θ/π).

    Parameters
    ----------
    voltage_peak : float
        Height of the steps, [V]
    conduction_angle : float
        Part of each half cycle that is not at zero, above 0 and up to π, [rad]

    Returns
    -------
    voltage_rms : float
        [V]

    Notes
    -----
    Flat tops and vertical edges. A load sags the tops of a real unit.

    References
    ----------
    Root of the mean square of the wave.

    Examples
    --------
    >>> round(voltage_rms(325.27, math.pi / 2), 2)
    230.0
    """
    return voltage_peak * (conduction_angle / math.pi) ** 0.5


def voltage_peak(voltage_rms, conduction_angle):
    """Peak of a three-level wave of a given heating value: `voltage_rms` solved for the peak.

    V_p = V_rms/√(θ/π).

    Parameters
    ----------
    voltage_rms : float
        True heating value, [V]
    conduction_angle : float
        Part of each half cycle that is not at zero, above 0 and up to π, [rad]

    Returns
    -------
    voltage_peak : float
        [V]

    Notes
    -----
    Only at π/2 are both peak and rms those of a sine.

    References
    ----------
    Algebra on `voltage_rms`.

    Examples
    --------
    >>> round(voltage_peak(230.0, math.pi * 2 / 3), 1)
    281.7
    """
    return voltage_rms / (conduction_angle / math.pi) ** 0.5


def voltage_mean_rectified(voltage_peak, conduction_angle):
    """Mean of a three-level wave with its negative half turned over.

    V_mean = V_p·θ/π.

    Parameters
    ----------
    voltage_peak : float
        Height of the steps, [V]
    conduction_angle : float
        Part of each half cycle that is not at zero, above 0 and up to π, [rad]

    Returns
    -------
    voltage_mean : float
        [V]

    Notes
    -----
    The flux in a transformer's core follows this mean, not the rms.

    References
    ----------
    Mean of the rectified wave.

    Examples
    --------
    >>> voltage_mean_rectified(300.0, math.pi / 2)
    150.0
    """
    return voltage_peak * conduction_angle / math.pi


def reading_average_responding(voltage_mean):
    """What a meter shows that measures the rectified mean and is scaled for a sine.

    V = π/(2·√2)·V_mean, for a sine its rms.

    Parameters
    ----------
    voltage_mean : float
        Mean of the rectified wave, [V]

    Returns
    -------
    reading : float
        [V]

    Notes
    -----
    A meter that does not say "true RMS" works like this.

    References
    ----------
    Form factor of a sine, π/(2·√2) = 1.1107.

    Examples
    --------
    >>> round(reading_average_responding(230.0), 1)
    255.5
    """
    return math.pi / (2 * 2**0.5) * voltage_mean


def conduction_angle_from_readings(reading, voltage_rms):
    """Conduction angle that an average-responding and a true-rms meter give away together.

    θ = 8/π·(V/V_rms)².

    Parameters
    ----------
    reading : float
        Of the average-responding meter, [V]
    voltage_rms : float
        Of the true-rms meter, [V]

    Returns
    -------
    conduction_angle : float
        Above π where no three-level wave has such readings, [rad]

    Notes
    -----
    Assumes flat tops. Errors of both meters count twice, since the ratio is squared.

    References
    ----------
    Algebra on `reading_average_responding` and `voltage_rms`.

    Examples
    --------
    >>> round(math.degrees(conduction_angle_from_readings(208.6, 230.0)), 1)
    120.0
    """
    return 8 / math.pi * (reading / voltage_rms) ** 2


def harmonic_peak(voltage_peak, conduction_angle, order):
    """Amplitude of one odd harmonic of a three-level wave; order 1 is the fundamental.

    V_n = 4·V_p/(n·π)·sin(n·θ/2).

    Parameters
    ----------
    voltage_peak : float
        Height of the steps, [V]
    conduction_angle : float
        Part of each half cycle that is not at zero, above 0 and up to π, [rad]
    order : int
        Odd, [-]

    Returns
    -------
    voltage : float
        Its sign is its phase, [V]

    Notes
    -----
    Even orders are absent: the negative half repeats the positive one.

    References
    ----------
    Fourier series of the wave.

    Examples
    --------
    >>> round(harmonic_peak(100.0, math.pi, 1), 2), round(harmonic_peak(100.0, math.pi, 3), 2)
    (127.32, -42.44)
    """
    return 4 * voltage_peak / (order * math.pi) * math.sin(order * conduction_angle / 2)


def harmonic_share(conduction_angle, order):
    """An odd harmonic of a three-level wave as a share of the fundamental.

    V_n/V_1 = |sin(n·θ/2)|/(n·sin(θ/2)).

    Parameters
    ----------
    conduction_angle : float
        Part of each half cycle that is not at zero, above 0 and up to π, [rad]
    order : int
        Odd, [-]

    Returns
    -------
    share : float
        [-]

    Notes
    -----
    The third, ninth, fifteenth … vanish at 2π/3.

    References
    ----------
    Ratio of two of `harmonic_peak`.

    Examples
    --------
    >>> round(harmonic_share(math.pi / 2, 3), 6)
    0.333333
    """
    share = abs(math.sin(order * conduction_angle / 2)) / (order * math.sin(conduction_angle / 2))
    return share if share > 1e-12 else 0.0 * share  # what a float's π leaves of a zero


def distortion_total(voltage_rms, voltage_fundamental):
    """Total harmonic distortion: every harmonic, to no last order, over the fundamental.

    THD = √((V_rms/V_1)² − 1).

    Parameters
    ----------
    voltage_rms : float
        Heating value of the whole wave, [V]
    voltage_fundamental : float
        Heating value of its fundamental, at most `voltage_rms`, [V]

    Returns
    -------
    distortion : float
        [-]

    Notes
    -----
    An instrument stops at the 40th or 50th order and shows less. Over the fundamental
    (THD_F), not over the rms.

    References
    ----------
    IEC 61000-2-2, definition, without its last order.

    Examples
    --------
    >>> round(distortion_total(1.0, 4 / math.pi / 2**0.5), 6)
    0.483426
    """
    return ((voltage_rms / voltage_fundamental) ** 2 - 1) ** 0.5


def distortion_to_order(harmonics):
    """Distortion of a list of harmonics, as an instrument that stops somewhere shows it.

    THD = √(Σ (V_n/V_1)²).

    Parameters
    ----------
    harmonics : list of tuple
        Pairs of order and share of the fundamental, without the fundamental, [-]

    Returns
    -------
    distortion : float
        [-]

    Notes
    -----
    Say the last order beside it: a square wave has 47.0 % to the 40th and 48.3 % in all.

    References
    ----------
    IEC 61000-2-2, definition.

    Examples
    --------
    >>> round(distortion_to_order([(3, 0.3), (5, 0.4)]), 9)
    0.5
    """
    return sum(share**2 for _, share in harmonics) ** 0.5


def crest_factor(voltage_peak, voltage_rms):
    """Peak over heating value.

    k = V_p/V_rms.

    Parameters
    ----------
    voltage_peak : float
        [V]
    voltage_rms : float
        [V]

    Returns
    -------
    crest_factor : float
        √2 for a sine, 1 for a square, [-]

    Notes
    -----
    A rectifier charges to the peak, whatever the rms.

    References
    ----------
    Definition.

    Examples
    --------
    >>> crest_factor(300.0, 200.0)
    1.5
    """
    return voltage_peak / voltage_rms


def form_factor(voltage_rms, voltage_mean):
    """Heating value over rectified mean.

    F = V_rms/V_mean.

    Parameters
    ----------
    voltage_rms : float
        [V]
    voltage_mean : float
        Mean of the rectified wave, [V]

    Returns
    -------
    form_factor : float
        π/(2·√2) = 1.1107 for a sine, [-]

    Notes
    -----
    The further from 1.1107, the further off a meter that is not true-rms.

    References
    ----------
    Definition.

    Examples
    --------
    >>> form_factor(230.0, 200.0)
    1.15
    """
    return voltage_rms / voltage_mean


def harmonic_voltage_factor(harmonics):
    """Weight of a list of voltage harmonics in a motor.

    HVF = √(Σ (V_n/V_1)²/n).

    Parameters
    ----------
    harmonics : list of tuple
        Pairs of order and share of the fundamental, without the fundamental, [-]

    Returns
    -------
    factor : float
        [-]

    Notes
    -----
    NEMA MG 1 leaves out every order divisible by three, since they do no harm in a
    three-phase motor without a neutral. A single-phase motor sees them all: hand over all.

    References
    ----------
    NEMA MG 1, 30.1.2, and IEC 60034-1 (from memory).

    Examples
    --------
    >>> round(harmonic_voltage_factor([(n, 1 / n) for n in range(5, 1000, 2) if n % 3]), 3)
    0.113
    """
    return sum(share**2 / order for order, share in harmonics) ** 0.5


def motor_harmonic_heat(harmonics, locked_rotor_multiple):
    """Copper heat the harmonics add in an induction motor, over the heat of its rated current.

    Σ (V_n/V_1·k/n)².

    Parameters
    ----------
    harmonics : list of tuple
        Pairs of order and share of the fundamental, without the fundamental, [-]
    locked_rotor_multiple : float
        Locked-rotor current over rated current, k, [-]

    Returns
    -------
    heat : float
        Share of the copper heat at rated current, [-]

    Notes
    -----
    To a harmonic a turning rotor stands nearly still, so it draws k/n of the rated current
    for each unit of voltage. Errs low: the resistance of the rotor bars rises with the
    order, and iron loss is left out.

    References
    ----------
    Locked-rotor impedance, taken as a reactance, at n times the frequency.

    Examples
    --------
    >>> round(motor_harmonic_heat([(n, 1 / n) for n in range(3, 1000, 2)], 5.0), 3)
    0.367
    """
    return sum((share * locked_rotor_multiple / int(order)) ** 2 for order, share in harmonics)


def dropper_current_rms(capacitance, resistance, edge_voltage, edges_per_cycle, frequency, rise_time):
    """Current of a capacitor with a series resistor on a wave of flat tops and straight edges.

    I = (C·ΔV/t_r)·√(N·f·(t_r − τ·(1 − exp(−t_r/τ)))) with τ = R·C.

    Parameters
    ----------
    capacitance : float
        [F]
    resistance : float
        In series, the rest of the charger counted as a short circuit, [Ω]
    edge_voltage : float
        Height of one edge, [V]
    edges_per_cycle : int
        4 edges of V_p for a three-level wave, 2 edges of 2·V_p for a square, [-]
    frequency : float
        [Hz]
    rise_time : float
        From foot to top of one edge, [s]

    Returns
    -------
    current_rms : float
        [A]

    Notes
    -----
    Each edge has died away before the next comes: R·C well below the time between edges.
    For edges much longer than R·C it is C·ΔV·√(N·f/t_r), for edges much shorter
    ΔV·√(N·f·C/(2·R)), and then the resistor turns ½·N·C·ΔV²·f to heat whatever R is.

    References
    ----------
    Current of R and C under a ramp, squared and integrated.

    Examples
    --------
    >>> round(dropper_current_rms(0.47e-6, 100.0, 325.0, 4, 50.0, 1e-7) ** 2 * 100.0, 2)
    4.96
    """
    time_constant = resistance * capacitance
    effective = rise_time + time_constant * math.expm1(-rise_time / time_constant)
    return capacitance * edge_voltage / rise_time * (edges_per_cycle * frequency * effective) ** 0.5


def dropper_current_rms_sine(capacitance, resistance, voltage_rms, frequency):
    """Current of a capacitor with a series resistor on a sine.

    I = V_rms/√(R² + 1/(2·π·f·C)²).

    Parameters
    ----------
    capacitance : float
        [F]
    resistance : float
        In series, the rest of the charger counted as a short circuit, [Ω]
    voltage_rms : float
        [V]
    frequency : float
        [Hz]

    Returns
    -------
    current_rms : float
        [A]

    Notes
    -----
    The low voltage behind the dropper takes a little off.

    References
    ----------
    Impedance of R and C in series.

    Examples
    --------
    >>> round(dropper_current_rms_sine(0.47e-6, 100.0, 230.0, 50.0), 4)
    0.034
    """
    reactance = 1 / (2 * math.pi * frequency * capacitance)
    return voltage_rms / (resistance**2 + reactance**2) ** 0.5
