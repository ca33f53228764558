"""Batteries side by side: how they share a current, and how they are made up from one size.

currents_ladder    current of each battery along two rails
currents_posts     current of each battery, each with its own leads to common posts
strings_needed     strings side by side that hold a capacity
"""

import math


def currents_ladder(resistances, voltages, links, current_dc, diagonal):
    """Current of each battery of a row joined by links along two rails, taken off at its ends.

    I_j·R_j − E_j = I_(j+1)·R_(j+1) − E_(j+1) + (2·S_j − d·I)·r_j, Kirchhoff's law around
    each pair of neighbours, with S_j the current of all batteries beyond link j. The link
    of the plus rail carries S_j; that of the minus rail carries the same, or I − S_j the
    other way where the minus cable leaves at the far end (d = 1).

    Parameters
    ----------
    resistances : list of float
        Of each battery with its own terminals, from the plus cable on, [Ω]
    voltages : list of float
        Of each battery at rest, [V]
    links : list of float
        Of each link of one rail, one fewer than batteries; the rails are alike, [Ω]
    current_dc : float
        Taken from the whole bank, [A]
    diagonal : float
        1 where the minus cable leaves at the far end, 0 where it leaves at battery 1, [-]

    Returns
    -------
    currents : list of float
        Of each battery; negative where it is being charged by the others, [A]

    Notes
    -----
    Worked from the far end: with the last current as unknown x, each one before it is
    a + b·x, and the sum of all must be the current taken. As batteries empty, those that
    gave more fall behind and the sharing evens out: this is the start.

    References
    ----------
    Kirchhoff's laws.

    Examples
    --------
    >>> [round(one) for one in currents_ladder([0.003] * 4, [12.8] * 4, [0.0003] * 3, 150.0, 0.0)]
    [58, 39, 29, 24]
    >>> [round(one) for one in currents_ladder([0.003] * 4, [12.8] * 4, [0.0003] * 3, 150.0, 1.0)]
    [41, 34, 34, 41]
    """
    nothing = 0.0 * current_dc
    parts = [(nothing, 1.0)]  # (a, b) of each current, the last battery's first
    beyond = nothing, 1.0
    for j in range(len(links) - 1, -1, -1):
        a, b = parts[-1]
        lead = (voltages[j] - voltages[j + 1]) / resistances[j]
        stiff, link = resistances[j + 1] / resistances[j], links[j] / resistances[j]
        parts.append((lead + stiff * a + link * (2 * beyond[0] - diagonal * current_dc), stiff * b + link * 2 * beyond[1]))
        beyond = beyond[0] + parts[-1][0], beyond[1] + parts[-1][1]
    last = (current_dc - beyond[0]) / beyond[1]
    return [a + b * last for a, b in reversed(parts)]


def currents_posts(resistances, voltages, lead, current_dc):
    """Current of each battery where each has its own two leads to common posts.

    I_j = (E_j − V)/(R_j + 2·r), with V such that the currents add up to I.

    Parameters
    ----------
    resistances : list of float
        Of each battery with its own terminals, [Ω]
    voltages : list of float
        Of each battery at rest, [V]
    lead : float
        Of one lead from a battery to a post, all alike, [Ω]
    current_dc : float
        Taken from the posts, [A]

    Returns
    -------
    currents : list of float
        Of each battery; negative where it is being charged by the others, [A]

    Notes
    -----
    Leads of one length and size; then only the batteries themselves differ.

    References
    ----------
    Kirchhoff's laws.

    Examples
    --------
    >>> [round(one, 6) for one in currents_posts([0.003, 0.003, 0.006], [12.8] * 3, 0.0, 100.0)]
    [40.0, 40.0, 20.0]
    """
    ways = [1 / (own + 2 * lead) for own in resistances]
    posts = (sum(volts * way for volts, way in zip(voltages, ways)) - current_dc) / sum(ways)
    return [(volts - posts) * way for volts, way in zip(voltages, ways)]


def strings_needed(capacity, capacity_unit):
    """Strings side by side that hold a capacity.

    n = C/C_1, rounded up.

    Parameters
    ----------
    capacity : float
        Required, [C]
    capacity_unit : float
        Of one string: batteries in series keep the amp-hours of one, [C]

    Returns
    -------
    strings : int
        At least 1, [-]

    Notes
    -----
    A hair over a whole number, less than one part in a million, is that number.

    References
    ----------
    Definition.

    Examples
    --------
    >>> strings_needed(410.0, 200.0)
    3
    """
    return max(math.ceil(capacity / capacity_unit - 1e-6), 1)
