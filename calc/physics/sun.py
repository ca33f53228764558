"""The sun on a panel: how long it shines, how warm the cells get, what cold does to a string.

declination                the sun's angle north of the equator on a day of the year
daylight                   time from sunrise to sunset
sun_time_above_air         peak-sun time of a day without any atmosphere
day_share                  share of a day's sun that falls between two times
irradiance_effective       mean irradiance of a day, weighted by the energy it brings
cell_temperature           temperature of the cells in the sun
temperature_yield          power of warm cells over their rated power
voltage_cold               open-circuit voltage of a cold string
"""

import math

IRRADIANCE_RATED = 1000.0
"""Irradiance at which panels are rated, W/m². Source: IEC 60904-3."""

TEMPERATURE_RATED = 25.0
"""Cell temperature at which panels are rated, °C. Source: IEC 60904-3."""

IRRADIANCE_NOCT, AMBIENT_NOCT = 800.0, 20.0
"""Irradiance [W/m²] and air temperature [°C] of the nominal operating cell temperature. Source: IEC 61215."""

SOLAR_CONSTANT_RATIO = 0.0820e6 / 60 / IRRADIANCE_RATED
"""Solar constant over the rated irradiance. Source: FAO 56, equation 21: 0.0820 MJ/(m²·min)."""


def declination(day_of_year):
    """Angle of the sun north of the equator at noon.

    δ = 0.409·sin(2π·J/365 − 1.39).

    Parameters
    ----------
    day_of_year : float
        1 on 1 January, [-]

    Returns
    -------
    declination : float
        [rad]

    Notes
    -----
    Good to about half a degree.

    References
    ----------
    FAO Irrigation and Drainage Paper 56, equation 24.

    Examples
    --------
    >>> round(declination(246), 3)  # 3 September, FAO 56 example 8
    0.12
    """
    return 0.409 * math.sin(2 * math.pi / 365 * day_of_year - 1.39)


def daylight(latitude, declination, day):
    """Time from sunrise to sunset.

    t = T·ω/π with ω = arccos(−tan φ·tan δ).

    Parameters
    ----------
    latitude : float
        North positive, [rad]
    declination : float
        Of the sun, [rad]
    day : float
        Length of a day, [s]

    Returns
    -------
    time : float
        0 in the polar night, a whole day under the midnight sun, [s]

    Notes
    -----
    Of the sun's centre and without refraction: the real day is about ten minutes longer.

    References
    ----------
    FAO Irrigation and Drainage Paper 56, equations 25 and 34.

    Examples
    --------
    >>> round(daylight(math.radians(-20), 0.12, 86400.0) / 3600, 1)  # FAO 56 example 9
    11.7
    """
    return day * _sunset_angle(latitude, declination) / math.pi


def _sunset_angle(latitude, declination):
    return math.acos(min(1.0, max(-1.0, -math.tan(latitude) * math.tan(declination))))


def sun_time_above_air(latitude, declination, day_of_year, day):
    """Peak-sun time a flat panel would have in a day without any atmosphere.

    t = T/π·(G_sc/G)·d_r·(ω·sin φ·sin δ + cos φ·cos δ·sin ω) with d_r = 1 + 0.033·cos(2π·J/365).

    Parameters
    ----------
    latitude : float
        North positive, [rad]
    declination : float
        Of the sun, [rad]
    day_of_year : float
        1 on 1 January, [-]
    day : float
        Length of a day, [s]

    Returns
    -------
    time : float
        Irradiation of the day over 1000 W/m², [s]

    Notes
    -----
    A bound that no place on the ground reaches.

    References
    ----------
    FAO Irrigation and Drainage Paper 56, equations 21 and 23.

    Examples
    --------
    >>> round(sun_time_above_air(math.radians(-20), 0.120, 246, 86400.0) * 1000 / 1e6, 1)  # MJ/m², FAO 56 example 8
    32.2
    """
    angle = _sunset_angle(latitude, declination)
    distance = 1 + 0.033 * math.cos(2 * math.pi / 365 * day_of_year)
    height = angle * math.sin(latitude) * math.sin(declination) + math.cos(latitude) * math.cos(declination) * math.sin(angle)
    return day / math.pi * SOLAR_CONSTANT_RATIO * distance * height


def day_share(start, end, sunrise, sunset):
    """Share of a day's sun that falls between two times of the day.

    s = (cos(π·(t_1 − t_r)/D) − cos(π·(t_2 − t_r)/D))/2 with D = t_s − t_r.

    Parameters
    ----------
    start : float
        From midnight, [s]
    end : float
        From midnight, [s]
    sunrise : float
        From midnight, [s]
    sunset : float
        From midnight, after sunrise, [s]

    Returns
    -------
    share : float
        0 to 1, [-]

    Notes
    -----
    The day is half a sine wave from sunrise to sunset: a clear day is a little fuller in
    the middle, a cloudy one is ragged. Exact for any step, so no energy is lost to stepping.

    References
    ----------
    Integral of a half sine.

    Examples
    --------
    >>> round(day_share(6 * 3600.0, 12 * 3600.0, 6 * 3600.0, 18 * 3600.0), 9)
    0.5
    """
    length = sunset - sunrise
    first, last = (math.cos(math.pi * float(min(1.0, max(0.0, (time - sunrise) / length)))) for time in (start, end))
    return (first - last) / 2


def irradiance_effective(sun_time, daylight, irradiance_rated):
    """Mean irradiance of a day, weighted by the energy it brings.

    G_eff = G_r·π²·t_sun/(8·t_day).

    Parameters
    ----------
    sun_time : float
        Peak-sun time of the day, [s]
    daylight : float
        Sunrise to sunset, [s]
    irradiance_rated : float
        The irradiance peak-sun time counts in, [W/m²]

    Returns
    -------
    irradiance : float
        [W/m²]

    Notes
    -----
    For half a sine wave, ∫G²/∫G. Heat costs power in proportion to irradiance, so the day's
    mean loss is that at this one irradiance. A day of sun and clouds by turns errs low.

    References
    ----------
    Integrals of a half sine and of its square.

    Examples
    --------
    >>> round(irradiance_effective(5 * 3600.0, 12 * 3600.0, 1000.0), 1)
    514.0
    """
    return irradiance_rated * math.pi**2 / 8 * sun_time / daylight


def cell_temperature(ambient, irradiance, rise, irradiance_rise):
    """Temperature of the cells of a panel in the sun.

    T_c = T_a + ΔT·G/G_ΔT.

    Parameters
    ----------
    ambient : float
        Of the air, [°C]
    irradiance : float
        On the panel, [W/m²]
    rise : float
        Of the cells above the air at `irradiance_rise`, [K]
    irradiance_rise : float
        800 W/m² where the rise is the nominal operating cell temperature less 20 °C, [W/m²]

    Returns
    -------
    temperature : float
        [°C]

    Notes
    -----
    Light wind. A panel bonded to a roof has no air behind it and gets some 20 K hotter.

    References
    ----------
    Ross (1976); IEC 61215 for the nominal operating cell temperature.

    Examples
    --------
    >>> cell_temperature(25.0, 1000.0, 45.0 - AMBIENT_NOCT, IRRADIANCE_NOCT)
    56.25
    """
    return ambient + rise * (irradiance / irradiance_rise)


def temperature_yield(coefficient, above_rated):
    """Power of warm cells over their rated power.

    k = 1 + γ·(T_c − 25 °C).

    Parameters
    ----------
    coefficient : float
        Of the power, γ: negative, [1/K]
    above_rated : float
        Cell temperature less 25 °C, [K]

    Returns
    -------
    share : float
        [-]

    Notes
    -----
    Above 1 in the cold, where the panel really gives more.

    References
    ----------
    IEC 60891, linear temperature coefficient of the power.

    Examples
    --------
    >>> round(temperature_yield(-0.004, 56.25 - TEMPERATURE_RATED), 6)
    0.875
    """
    return 1 + coefficient * above_rated


def voltage_cold(voltage_open_circuit, panels_in_series, coefficient, above_rated):
    """Open-circuit voltage of a string of panels at a cell temperature.

    V = n·V_oc·(1 + β·(T_c − 25 °C)).

    Parameters
    ----------
    voltage_open_circuit : float
        Of one panel, as rated, [V]
    panels_in_series : float
        How many, [-]
    coefficient : float
        Of the open-circuit voltage, β: negative, [1/K]
    above_rated : float
        Lowest cell temperature less 25 °C, [K]

    Returns
    -------
    voltage : float
        [V]

    Notes
    -----
    At daybreak the cells are as cold as the air, or colder under a clear sky, while a
    little light already brings nearly the full voltage.

    References
    ----------
    IEC 60891, linear temperature coefficient of the open-circuit voltage.

    Examples
    --------
    >>> round(voltage_cold(22.0, 4, -0.003, -10.0 - TEMPERATURE_RATED), 2)
    97.24
    """
    return panels_in_series * voltage_open_circuit * (1 + coefficient * above_rated)
