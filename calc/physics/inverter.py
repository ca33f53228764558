"""Inverter losses, efficiency and idle power.

power_dc                     DC power drawn for an AC load
power_ac_from_dc             the AC load that draws a given DC power
efficiency                   AC power over DC power
loss_terms_from_two          the loss terms from standby, full-load and peak efficiency
loss_terms_from_points       the loss terms from two or more measured points
standby_power_max            the largest standby two efficiencies leave room for
best_load                    where the efficiency peaks
efficiency_weighted          EN 50530 and CEC weighted efficiency
idle_power_average           mean power of an inverter that searches for a load
"""

EURO_WEIGHTS = ((0.05, 0.03), (0.10, 0.06), (0.20, 0.13), (0.30, 0.10), (0.50, 0.48), (1.00, 0.20))
"""(load, weight) of the European efficiency. Source: EN 50530, Annex D."""

CEC_WEIGHTS = ((0.10, 0.04), (0.20, 0.05), (0.30, 0.12), (0.50, 0.21), (0.75, 0.53), (1.00, 0.05))
"""(load, weight) of the CEC efficiency. Source: Sandia inverter test guideline 2005, p. 17."""


def power_dc(power_ac, power_factor, rating, standby_power, loss_proportional, loss_quadratic):
    """DC power an inverter draws for an AC load.

    P_dc = P_0 + a·P + b·S²/S_r with S = P/PF: conduction loss follows the current, so the
    apparent power.

    Parameters
    ----------
    power_ac : float
        Real power of the load, [W]
    power_factor : float
        Real power over apparent power, 0 to 1, [-]
    rating : float
        Continuous rating in apparent power, [VA]
    standby_power : float
        Power drawn with no load, P_0, [W]
    loss_proportional : float
        Term a, at least 1, [-]
    loss_quadratic : float
        Term b, [-]

    Returns
    -------
    power_dc : float
        Power drawn from the DC side, [W]

    Notes
    -----
    Assumes losses that do not depend on the battery voltage or on temperature. Errs low
    for a hot inverter.

    References
    ----------
    Three-term loss model of the photovoltaic literature (1996), as k_0 + k_1·p + k_2·p².

    Examples
    --------
    >>> round(power_dc(1000.0, 1.0, 2000.0, 20.0, 1.05, 0.06), 6)
    1100.0
    """
    apparent_power = power_ac / power_factor
    return standby_power + loss_proportional * power_ac + loss_quadratic * apparent_power**2 / rating


def power_ac_from_dc(power_dc, power_factor, rating, standby_power, loss_proportional, loss_quadratic):
    """AC load that makes an inverter draw a given DC power: `power_dc` solved for P.

    P = 2·(P_dc − P_0) / (a + √(a² + 4·b·(P_dc − P_0)/(S_r·PF²))), which also holds for b = 0.

    Parameters
    ----------
    power_dc : float
        Power drawn from the DC side, [W]
    power_factor : float
        Real power over apparent power, 0 to 1, [-]
    rating : float
        Continuous rating in apparent power, [VA]
    standby_power : float
        Power drawn with no load, P_0, [W]
    loss_proportional : float
        Term a, at least 1, [-]
    loss_quadratic : float
        Term b, [-]

    Returns
    -------
    power_ac : float
        Real power of the load, 0 where the DC power does not cover standby, [W]

    Notes
    -----
    Knows nothing of the rating as a limit; the caller compares.

    References
    ----------
    Algebra on `power_dc`.

    Examples
    --------
    >>> round(power_ac_from_dc(1100.0, 1.0, 2000.0, 20.0, 1.05, 0.06), 6)
    1000.0
    """
    spare = power_dc - standby_power
    if spare <= 0:
        return 0.0 * power_dc
    root = (loss_proportional**2 + 4 * loss_quadratic * spare / (rating * power_factor**2)) ** 0.5
    return 2 * spare / (loss_proportional + root)


def efficiency(power_ac, power_dc):
    """AC power over the DC power drawn for it.

    η = P/P_dc.

    Parameters
    ----------
    power_ac : float
        Real power of the load, [W]
    power_dc : float
        Power drawn from the DC side, [W]

    Returns
    -------
    efficiency : float
        0 to 1, [-]

    Notes
    -----
    Zero at no load, where all of the DC power is loss.

    References
    ----------
    IEC 61683, definition of power efficiency.

    Examples
    --------
    >>> efficiency(900.0, 1000.0)
    0.9
    """
    return power_ac / power_dc


def loss_terms_from_two(standby_power, rating, efficiency_full, efficiency_peak):
    """Loss terms a and b from standby and two efficiencies.

    With p_0 = P_0/P_r and D = 1/η_full − 1/η_peak:
    √b = √p_0 + √D, a = 1/η_peak − 2·√(p_0·b).

    Parameters
    ----------
    standby_power : float
        Power drawn with no load, P_0, [W]
    rating : float
        Continuous rating at unity power factor, P_r, [W]
    efficiency_full : float
        Efficiency at the rating, 0 to 1, [-]
    efficiency_peak : float
        Highest efficiency at any load, at least `efficiency_full`, [-]

    Returns
    -------
    loss_proportional : float
        Term a, [-]
    loss_quadratic : float
        Term b, [-]

    Notes
    -----
    a below 1 would be an inverter that makes power; `standby_power_max` tells the
    standby at which it reaches 1. With b = p_0 the peak lies at the rating itself.

    References
    ----------
    From dη/dP = 0 and η(P_r) = η_full in the three-term loss model.

    Examples
    --------
    >>> a, b = loss_terms_from_two(20.0, 2000.0, 2000 / 2240, 1 / (1.05 + 2 * 0.0006**0.5))
    >>> round(a, 6), round(b, 6)
    (1.05, 0.06)
    """
    standby_share = standby_power / rating
    spread = 1 / efficiency_full - 1 / efficiency_peak
    loss_quadratic = (standby_share**0.5 + spread**0.5) ** 2
    return 1 / efficiency_peak - 2 * (standby_share * loss_quadratic) ** 0.5, loss_quadratic


def standby_power_max(rating, efficiency_full, efficiency_peak):
    """Largest standby power that two efficiencies leave room for (term a = 1).

    √p_0 = (−√D + √(D + 2·(1/η_peak − 1)))/2 with D = 1/η_full − 1/η_peak.

    Parameters
    ----------
    rating : float
        Continuous rating at unity power factor, P_r, [W]
    efficiency_full : float
        Efficiency at the rating, 0 to 1, [-]
    efficiency_peak : float
        Highest efficiency at any load, at least `efficiency_full`, [-]

    Returns
    -------
    standby_power : float
        Power drawn with no load, [W]

    Notes
    -----
    A specification sheet that claims more standby than this contradicts itself.

    References
    ----------
    Algebra on `loss_terms_from_two` with a = 1.

    Examples
    --------
    >>> most = standby_power_max(2000.0, 0.89, 0.92)
    >>> round(loss_terms_from_two(most, 2000.0, 0.89, 0.92)[0], 9)
    1.0
    """
    spread = 1 / efficiency_full - 1 / efficiency_peak
    root = (-(spread**0.5) + (spread + 2 * (1 / efficiency_peak - 1)) ** 0.5) / 2
    return rating * root**2


def loss_terms_from_points(standby_power, rating, loads, efficiencies):
    """Loss terms a and b from two or more measured efficiencies, by least squares.

    1/η − P_0/P = a + b·P/P_r is a straight line in P/P_r.

    Parameters
    ----------
    standby_power : float
        Power drawn with no load, P_0, [W]
    rating : float
        Continuous rating at unity power factor, P_r, [W]
    loads : list of float
        At least two different loads above zero, [W]
    efficiencies : list of float
        Efficiency at each load, 0 to 1, [-]

    Returns
    -------
    loss_proportional : float
        Term a, [-]
    loss_quadratic : float
        Term b, [-]

    Notes
    -----
    Each point counts the same in 1/η, so a small load counts as much as a large one.

    References
    ----------
    Ordinary least squares on the three-term loss model with P_0 given.

    Examples
    --------
    >>> a, b = loss_terms_from_points(20.0, 2000.0, [200.0, 2000.0], [200 / 231.2, 2000 / 2240])
    >>> round(a, 6), round(b, 6)
    (1.05, 0.06)
    """
    shares = [load / rating for load in loads]
    heights = [1 / eta - standby_power / load for load, eta in zip(loads, efficiencies)]
    mean_share = sum(shares) / len(shares)
    mean_height = sum(heights) / len(heights)
    slope = sum((x - mean_share) * (y - mean_height) for x, y in zip(shares, heights)) / sum(
        (x - mean_share) ** 2 for x in shares
    )
    return mean_height - slope * mean_share, slope


def best_load(standby_power, rating, loss_quadratic):
    """Load at which the efficiency peaks.

    P = √(P_0·P_r/b), or P_r where the curve still rises there.

    Parameters
    ----------
    standby_power : float
        Power drawn with no load, P_0, [W]
    rating : float
        Continuous rating at unity power factor, P_r, [W]
    loss_quadratic : float
        Term b, [-]

    Returns
    -------
    load : float
        Real power at unity power factor, [W]

    Notes
    -----
    Without standby loss the efficiency is highest at the smallest load: 0.

    References
    ----------
    dη/dP = 0 in the three-term loss model.

    Examples
    --------
    >>> round(best_load(20.0, 2000.0, 0.06), 1)
    816.5
    """
    if standby_power >= loss_quadratic * rating:
        return rating
    return (standby_power * rating / loss_quadratic) ** 0.5


def efficiency_weighted(weights, rating, standby_power, loss_proportional, loss_quadratic):
    """Weighted mean of the efficiency at fixed shares of the rating, unity power factor.

    η = Σ w_i·η(p_i).

    Parameters
    ----------
    weights : list of tuple
        Pairs of share of the rating and weight, for example `EURO_WEIGHTS`, [-]
    rating : float
        Continuous rating at unity power factor, [W]
    standby_power : float
        Power drawn with no load, [W]
    loss_proportional : float
        Term a, [-]
    loss_quadratic : float
        Term b, [-]

    Returns
    -------
    efficiency : float
        0 to 1, [-]

    Notes
    -----
    Both weightings describe inverters on solar panels by day. An inverter in a caravan
    idles most of its life, where standby decides instead.

    References
    ----------
    EN 50530, Annex D; Sandia inverter test guideline (2005), p. 17.

    Examples
    --------
    >>> round(efficiency_weighted(CEC_WEIGHTS, 2000.0, 0.0, 1.25, 0.0), 9)
    0.8
    """
    return sum(
        weight
        * efficiency(
            share * rating,
            power_dc(share * rating, 1.0, rating, standby_power, loss_proportional, loss_quadratic),
        )
        for share, weight in weights
    )


def idle_power_average(standby_power, search_power, wake_fraction):
    """Mean power of an inverter that searches for a load and wakes for part of the time.

    P = P_search + w·(P_0 − P_search).

    Parameters
    ----------
    standby_power : float
        Power when awake with no load, P_0, [W]
    search_power : float
        Mean power while searching, [W]
    wake_fraction : float
        Share of the time it is awake, 0 to 1, [-]

    Returns
    -------
    power : float
        Mean power, [W]

    Notes
    -----
    A clock of a few watts holds it awake (w = 1); a charger below the threshold never
    wakes it, and is then not charged either.

    References
    ----------
    Time average.

    Examples
    --------
    >>> idle_power_average(20.0, 2.0, 0.25)
    6.5
    """
    return search_power + wake_fraction * (standby_power - search_power)
