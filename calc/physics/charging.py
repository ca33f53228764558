"""Putting charge back.

panel_power_for_energy   solar panel whose daily yield covers an energy
"""


def panel_power_for_energy(energy, sun_time, derate):
    """Rated solar panel power whose daily yield covers a daily energy.

    P = E/(t_sun·k).

    Parameters
    ----------
    energy : float
        Taken from the battery in a day, [J]
    sun_time : float
        Peak-sun time in a day: the day's irradiation over 1000 W/m², [s]
    derate : float
        Yield at the battery over rated power times peak-sun time, all losses in it, [-]

    Returns
    -------
    power : float
        Rated panel power, [W]

    Notes
    -----
    An average day. A run of dull days needs a battery, not this number.

    References
    ----------
    Worksheet method of public stand-alone photovoltaic handbooks (SAND87-7023).

    Examples
    --------
    >>> panel_power_for_energy(500 * 3600.0, 4 * 3600.0, 0.625)
    200.0
    """
    return energy / (sun_time * derate)
