"""A charger on a supply of limited current: a site's hook-up or a generator.

charger_current   the charging current that an apparent power allows
"""


def charger_current(apparent_power, voltage_dc, efficiency, power_factor):
    """Charging current that an apparent power of the supply allows.

    I = S·η·PF/V.

    Parameters
    ----------
    apparent_power : float
        Left for the charger, [VA]
    voltage_dc : float
        While charging, [V]
    efficiency : float
        Of the charger, 0 to 1, [-]
    power_factor : float
        Of its input, 0 to 1, [-]

    Returns
    -------
    current_dc : float
        Into the battery, [A]

    Notes
    -----
    Apparent powers are added as if in phase, so what is left may be a little more.

    References
    ----------
    Definitions of efficiency and power factor.

    Examples
    --------
    >>> round(charger_current(1088.0, 14.2, 0.87, 0.6), 1)
    40.0
    """
    return apparent_power * efficiency * power_factor / voltage_dc
