"""Choosing an inverter's size: what heat and height take off its rating, and what is left to find.

derating_temperature   share of the rating left in a hot place
derating_altitude      share of the rating left in thin air
rating_required        the rating that carries a load after both
surge_rating_required  the rating whose surge carries a start
"""


def derating_temperature(ambient, temperature_rated, loss_per_kelvin):
    """Share of an inverter's rating that is left at a temperature.

    k_T = 1 − d·(T − T_r) above T_r, and 1 below it.

    Parameters
    ----------
    ambient : float
        Air around the inverter, [°C]
    temperature_rated : float
        Up to which the full rating holds, [°C]
    loss_per_kelvin : float
        Share of the rating lost for each degree above that, [1/K]

    Returns
    -------
    share : float
        At most 1, [-]

    Raises
    ------
    ValueError
        When nothing of the rating is left.

    Notes
    -----
    A straight line stands for the step or curve of a real unit. Cold gives no credit.

    References
    ----------
    Common practice; the maker's own curve goes before it.

    Examples
    --------
    >>> derating_temperature(50.0, 40.0, 0.02)
    0.8
    >>> derating_temperature(-10.0, 40.0, 0.02)
    1.0
    """
    share = 1.0 - loss_per_kelvin * max(ambient - temperature_rated, 0.0)
    if share <= 0:
        raise ValueError("nothing of the rating is left at this temperature")
    return share


def derating_altitude(altitude, altitude_rated, loss_per_metre):
    """Share of an inverter's rating that is left at a height above the sea.

    k_h = 1 − d·(h − h_r) above h_r, and 1 below it.

    Parameters
    ----------
    altitude : float
        Height above the sea, [m]
    altitude_rated : float
        Up to which the full rating holds, [m]
    loss_per_metre : float
        Share of the rating lost for each metre above that, [1/m]

    Returns
    -------
    share : float
        At most 1, [-]

    Raises
    ------
    ValueError
        When nothing of the rating is left.

    Notes
    -----
    Thin air carries less heat away. Low ground gives no credit.

    References
    ----------
    Common practice: 1 % for each 100 m above 1000 m.

    Examples
    --------
    >>> derating_altitude(2500.0, 1000.0, 0.0001)
    0.85
    """
    share = 1.0 - loss_per_metre * max(altitude - altitude_rated, 0.0)
    if share <= 0:
        raise ValueError("nothing of the rating is left at this height")
    return share


def rating_required(apparent_power, margin, share_temperature, share_altitude):
    """Rating an inverter needs on its plate to carry a load where it stands.

    S_r = S·(1 + m)/(k_T·k_h).

    Parameters
    ----------
    apparent_power : float
        Largest load that stays on, [VA]
    margin : float
        Room on top, as a share of the load, [-]
    share_temperature : float
        Share of the rating left at this temperature, [-]
    share_altitude : float
        Share of the rating left at this height, [-]

    Returns
    -------
    rating : float
        [VA]

    Notes
    -----
    The two shares are multiplied, though a unit is seldom tested in heat and height at once.

    References
    ----------
    Definition of the two shares.

    Examples
    --------
    >>> rating_required(800.0, 0.0, 0.8, 1.0)
    1000.0
    """
    return apparent_power * (1 + margin) / (share_temperature * share_altitude)


def surge_rating_required(surge_required, surge_multiple):
    """Rating whose surge carries a start.

    S_r = S_start/x.

    Parameters
    ----------
    surge_required : float
        Apparent power of the start with everything that runs beside it, [VA]
    surge_multiple : float
        Surge rating over continuous rating, for at least as long as the start, [-]

    Returns
    -------
    rating : float
        [VA]

    Notes
    -----
    A surge is a current limit, so it is compared in volt-amps, not in watts.

    References
    ----------
    Definition of the multiple.

    Examples
    --------
    >>> surge_rating_required(3000.0, 2.0)
    1500.0
    """
    return surge_required / surge_multiple
