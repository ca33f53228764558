"""Copper conductors: resistance when warm, heating, and what a cable can carry.

resistance_per_length_solid    ρ/A of a plain wire of copper
resistance_loop                both ways, at the temperature of the conductor
conductor_temperature          how warm a current makes it
current_for_temperature        the current that makes it just so warm
ambient_factor                 what is left of a rating in a warmer place
voltage_drop, heat             ohmic drop and loss
"""

RESISTIVITY_COPPER_20 = 1 / 58e6
"""Resistivity of annealed copper at 20 °C, [Ω·m]. Source: IEC 60028, from memory."""

TEMPERATURE_COEFFICIENT_COPPER = 0.00393
"""Temperature coefficient of copper's resistance at 20 °C, [1/K]. Source: IEC 60028, from memory."""

STRAND_LAY = 1.02
"""Strands run round the cable and are longer than it: resistance × 1.02. Source: ASTM B8."""


def resistance_per_length_solid(area, resistivity, lay_factor):
    """Resistance of a length of conductor, from its cross-section alone.

    R/L = f·ρ/A.

    Parameters
    ----------
    area : float
        True cross-section of metal, [m²]
    resistivity : float
        At the temperature wanted, for copper at 20 °C `RESISTIVITY_COPPER_20`, [Ω·m]
    lay_factor : float
        1 for a solid wire, `STRAND_LAY` for strands, [-]

    Returns
    -------
    resistance_per_length : float
        At the temperature of the resistivity, [Ω/m]

    Notes
    -----
    For AWG sizes, whose area is exact. A metric size is a name, not an area: its maximum
    resistance is in IEC 60228 and up to 16 % above ρ/A.

    References
    ----------
    IEC 60028 (resistivity), ASTM B8 (lay).

    Examples
    --------
    >>> round(1e3 * resistance_per_length_solid(10e-6, RESISTIVITY_COPPER_20, 1.0), 4)
    1.7241
    """
    return lay_factor * resistivity / area


def resistance_loop(resistance_per_length, length_one_way, temperature_rise, temperature_coefficient):
    """Resistance of a cable there and back, warm.

    R = R_20·[1 + α_20·(T − 20 °C)]·2·L.

    Parameters
    ----------
    resistance_per_length : float
        At 20 °C, [Ω/m]
    length_one_way : float
        From battery to inverter, [m]
    temperature_rise : float
        Conductor temperature above 20 °C, [K]
    temperature_coefficient : float
        α_20, for copper `TEMPERATURE_COEFFICIENT_COPPER`, [1/K]

    Returns
    -------
    resistance : float
        Of both conductors in series, [Ω]

    Notes
    -----
    IEC 60228's own correction table uses 0.004 /K and differs by up to 0.4 %.

    References
    ----------
    IEC 60028, α_20 = 0.00393 /K.

    Examples
    --------
    >>> round(1e3 * resistance_loop(0.000554, 1.0, 30.0, TEMPERATURE_COEFFICIENT_COPPER), 3)
    1.239
    """
    return resistance_per_length * (1 + temperature_coefficient * temperature_rise) * 2 * length_one_way


def conductor_temperature(ambient, rise_at_rating, current_rms, current_rating):
    """Temperature a conductor settles at.

    T = T_a + ΔT_rated·(I/I_rated)².

    Parameters
    ----------
    ambient : float
        Temperature around the cable, [°C]
    rise_at_rating : float
        Insulation rating minus the ambient its table stands for, [K]
    current_rms : float
        Heating current, [A]
    current_rating : float
        Tabulated current at that rise, [A]

    Returns
    -------
    temperature : float
        Of the conductor after an hour or more, [°C]

    Notes
    -----
    Takes the copper's resistance at the rating: errs high below it, low above it.

    References
    ----------
    The square law behind ambient factors; agrees with BS 7671 Table 4B1's flexible-cord
    factors to 0.01.

    Examples
    --------
    >>> conductor_temperature(30.0, 60.0, 100.0, 200.0)
    45.0
    """
    return ambient + rise_at_rating * (current_rms / current_rating) ** 2


def current_for_temperature(rise_allowed, rise_at_rating, current_rating):
    """Current that warms a conductor by just the rise allowed.

    I = I_rated·√(ΔT/ΔT_rated).

    Parameters
    ----------
    rise_allowed : float
        Highest conductor temperature minus ambient, [K]
    rise_at_rating : float
        Insulation rating minus the ambient its table stands for, [K]
    current_rating : float
        Tabulated current at that rise, [A]

    Returns
    -------
    current : float
        Heating (rms) current, [A]

    Notes
    -----
    The inverse of `conductor_temperature`.

    References
    ----------
    The square law behind ambient factors.

    Examples
    --------
    >>> current_for_temperature(15.0, 60.0, 200.0)
    100.0
    """
    return current_rating * (rise_allowed / rise_at_rating) ** 0.5


def ambient_factor(rise_allowed, rise_at_rating):
    """Share of a tabulated current that is left in a warmer place; never above 1.

    √((T_max − T_a)/(T_max − T_table)).

    Parameters
    ----------
    rise_allowed : float
        Insulation rating minus ambient, [K]
    rise_at_rating : float
        Insulation rating minus the ambient its table stands for, [K]

    Returns
    -------
    factor : float
        0 to 1, [-]

    Notes
    -----
    No credit is given for a cold place: the factor stops at 1.

    References
    ----------
    Agrees with BS 7671's factors for 90 °C flexible cord within 0.01.

    Examples
    --------
    >>> round(ambient_factor(90.0 - 50.0, 90.0 - 30.0), 3)
    0.816
    """
    return min((rise_allowed / rise_at_rating) ** 0.5, 1.0)


def voltage_drop(current_dc, resistance):
    """Voltage lost along a resistance.

    ΔU = I·R.

    Parameters
    ----------
    current_dc : float
        Mean current, [A]
    resistance : float
        Of the whole loop, [Ω]

    Returns
    -------
    voltage : float
        Drop, [V]

    Notes
    -----
    The mean current sets the mean drop, whatever the ripple.

    References
    ----------
    Ohm's law.

    Examples
    --------
    >>> voltage_drop(100.0, 0.003)
    0.3
    """
    return current_dc * resistance


def heat(current_rms, resistance):
    """Power turned to heat in a resistance.

    P = I_rms²·R.

    Parameters
    ----------
    current_rms : float
        Heating current, [A]
    resistance : float
        Of the piece, [Ω]

    Returns
    -------
    power : float
        Heat, [W]

    Notes
    -----
    The rms current counts, not the mean.

    References
    ----------
    Joule's law.

    Examples
    --------
    >>> round(heat(180.0, 0.001), 6)
    32.4
    """
    return current_rms**2 * resistance
