"""Fuses and the cables they protect: rating, adiabatic heating, what a cable stands.

rating_needed          smallest rating that carries a current for hours
adiabatic_factor       k of a conductor between two temperatures
area_adiabatic         cross-section that stands a fault current for a time
time_withstand         how long a cross-section stands a fault current
energy_withstand       I²t a cross-section stands
area_for_energy        cross-section that stands an I²t
"""

from math import log

LOADING = 0.8
"""Share of a fuse's rating it may carry for hours. Source: common practice, 1/1.25."""

HEATING_CONSTANT_COPPER = 226e6
"""K = √(Q_c·(B + 20 °C)/ρ_20) of copper, [A·s^0.5/m²]. Source: IEC 60364-5-54, Annex A."""

TEMPERATURE_ZERO_COPPER = 234.5
"""B, reciprocal of copper's temperature coefficient at 0 °C, [°C]. Source: IEC 60364-5-54, Annex A."""

DURATION_ADIABATIC = (0.1, 5.0)
"""Times between which the adiabatic formula holds, [s]. Source: IEC 60364-4-43, 434.5.2."""


def rating_needed(current_rms, loading, share_left):
    """Smallest fuse rating that carries a current for hours.

    I_n = I_rms/(l·f).

    Parameters
    ----------
    current_rms : float
        Largest steady heating current, [A]
    loading : float
        Share of its rating a fuse may carry for hours, `LOADING`, [-]
    share_left : float
        Share of the rating left at the temperature around the fuse, [-]

    Returns
    -------
    rating : float
        Least rated current, [A]

    Notes
    -----
    A fuse run closer to its rating ages and opens without a fault.

    References
    ----------
    Common practice: 1.25 times the steady current.

    Examples
    --------
    >>> rating_needed(160.0, 0.8, 1.0)
    200.0
    """
    return current_rms / (loading * share_left)


def adiabatic_factor(temperature_start, temperature_end, heating_constant, temperature_zero):
    """Factor k of a conductor heated by a short fault, no heat leaving it.

    k = K·√(ln((B + θ_f)/(B + θ_i))).

    Parameters
    ----------
    temperature_start : float
        Conductor before the fault, θ_i, [°C]
    temperature_end : float
        Limit of its insulation in a fault, θ_f, [°C]
    heating_constant : float
        K, for copper `HEATING_CONSTANT_COPPER`, [A·s^0.5/m²]
    temperature_zero : float
        B, for copper `TEMPERATURE_ZERO_COPPER`, [°C]

    Returns
    -------
    k : float
        [A·s^0.5/m²]

    Notes
    -----
    Ignores the heat that leaves the conductor: errs low, on the safe side. Holds to 5 s.

    References
    ----------
    IEC 60364-5-54, Annex A.

    Examples
    --------
    >>> round(1e-6 * adiabatic_factor(90.0, 250.0, HEATING_CONSTANT_COPPER, TEMPERATURE_ZERO_COPPER))
    143
    """
    return heating_constant * log((temperature_zero + temperature_end) / (temperature_zero + temperature_start)) ** 0.5


def area_adiabatic(current, duration, k):
    """Cross-section that stands a fault current for a time.

    S = I·√t/k.

    Parameters
    ----------
    current : float
        Fault current, [A]
    duration : float
        Until the fuse has cleared, [s]
    k : float
        Adiabatic factor, [A·s^0.5/m²]

    Returns
    -------
    area : float
        Least cross-section, [m²]

    Notes
    -----
    From 0.1 s to 5 s. Below 0.1 s the fuse's own I²t counts: `area_for_energy`.

    References
    ----------
    IEC 60364-5-54, 543.1.2.

    Examples
    --------
    >>> round(1e6 * area_adiabatic(5000.0, 0.1, 115e6), 2)
    13.75
    """
    return current * duration**0.5 / k


def time_withstand(area, current, k):
    """How long a cross-section stands a fault current.

    t = (k·S/I)².

    Parameters
    ----------
    area : float
        Cross-section, [m²]
    current : float
        Fault current, [A]
    k : float
        Adiabatic factor, [A·s^0.5/m²]

    Returns
    -------
    duration : float
        Until the insulation's limit in a fault, [s]

    Notes
    -----
    Beyond 5 s heat leaves the conductor and it stands longer: errs low.

    References
    ----------
    IEC 60364-4-43, 434.5.2.

    Examples
    --------
    >>> round(time_withstand(50e-6, 5000.0, 143e6), 4)
    2.0449
    """
    return (k * area / current) ** 2


def energy_withstand(area, k):
    """Let-through I²t a cross-section stands.

    I²t = k²·S².

    Parameters
    ----------
    area : float
        Cross-section, [m²]
    k : float
        Adiabatic factor, [A·s^0.5/m²]

    Returns
    -------
    energy : float
        Largest total clearing I²t of the fuse, [A²·s]

    Notes
    -----
    For a fault cleared in less than 0.1 s.

    References
    ----------
    IEC 60364-4-43, 434.5.2.

    Examples
    --------
    >>> round(energy_withstand(10e-6, 100e6))
    1000000
    """
    return (k * area) ** 2


def area_for_energy(energy, k):
    """Cross-section that stands an I²t.

    S = √(I²t)/k.

    Parameters
    ----------
    energy : float
        Total clearing I²t of the fuse, [A²·s]
    k : float
        Adiabatic factor, [A·s^0.5/m²]

    Returns
    -------
    area : float
        Least cross-section, [m²]

    Notes
    -----
    The inverse of `energy_withstand`.

    References
    ----------
    IEC 60364-4-43, 434.5.2.

    Examples
    --------
    >>> round(1e6 * area_for_energy(1e6, 100e6), 9)
    10.0
    """
    return energy**0.5 / k
