"""Hydrogen from charging lead-acid batteries, and the air that keeps it harmless.

gas_current                  current that turns to gas
airflow_for_hydrogen         air that keeps hydrogen far below where it burns
opening_for_airflow          free opening that lets that air through by itself
spark_distance               how far a spark source stays away
hydrogen_per_charge          hydrogen that a charge sets free, from Faraday's law
"""

import math

AIR_PER_CHARGE = 0.05 / 3600
"""Air for each coulomb of gassing current and cell, m³/C: 0.05 m³/Ah. Source: EN IEC 62485-2.
It is 0.42 l of hydrogen an amp-hour, diluted to 4 %, five times over."""

OPENING_PER_AIRFLOW = 28e-4 * 3600
"""Free opening for each m³/s, m²/(m³/s): 28 cm² for 1 m³/h, air at 0.1 m/s. Source: EN IEC 62485-2."""

SPARK_DISTANCE_ONE_MILLIAMPERE = 28.8e-3
"""Distance for one milliampere of gassing current in one cell, m. Source: EN IEC 62485-2, from memory."""

FARADAY = 96485.33212
"""Charge of a mole of electrons, C/mol. Source: SI Brochure, exact constants."""

MOLAR_VOLUME = 0.02241396954
"""Volume of a mole of ideal gas at 0 °C and 101.325 kPa, m³/mol. Source: CODATA 2018."""


def gas_current(current_per_capacity, capacity):
    """Current that turns to gas while a battery charges.

    I_gas = i_gas·C.

    Parameters
    ----------
    current_per_capacity : float
        Gassing current for each unit of rated capacity, [A/C]
    capacity : float
        Rated capacity of one string of cells, or of all strings together, [C]

    Returns
    -------
    current : float
        [A]

    Notes
    -----
    A battery near the end of its life, or overcharged, gasses more. Where a charger
    equalises or does not hold its voltage, its own current stands in for this one.

    References
    ----------
    EN IEC 62485-2, ventilation.

    Examples
    --------
    >>> round(gas_current(20e-3 / 3600, 200 * 3600.0), 9)
    4.0
    """
    return current_per_capacity * capacity


def airflow_for_hydrogen(cells, current, air_per_charge):
    """Air that keeps the hydrogen of a charging battery far below where it burns.

    Q = 0.05·n·I_gas, in m³/h with I_gas in A.

    Parameters
    ----------
    cells : int
        In series: 6 in a 12 V battery, [-]
    current : float
        Gassing current, [A]
    air_per_charge : float
        `AIR_PER_CHARGE`, [m³/C]

    Returns
    -------
    airflow : float
        [m³/s]

    Notes
    -----
    Mixed at once with all of the air; hydrogen collects at the highest point, so the way
    out belongs there.

    References
    ----------
    EN IEC 62485-2, ventilation: 24 × 0.42e-3 m³/Ah × 5 = 0.0504 m³/Ah.

    Examples
    --------
    >>> round(airflow_for_hydrogen(6, 4.0, AIR_PER_CHARGE) * 3600, 6)
    1.2
    """
    return cells * current * air_per_charge


def opening_for_airflow(airflow, opening_per_airflow):
    """Free opening that lets an airflow through without a fan; one for in, one for out.

    A = 28·Q, in cm² with Q in m³/h.

    Parameters
    ----------
    airflow : float
        [m³/s]
    opening_per_airflow : float
        `OPENING_PER_AIRFLOW`, [s/m]

    Returns
    -------
    area : float
        Of each of the two openings, without grille or mesh, [m²]

    Notes
    -----
    Low and high, on opposite sides, to the open air. A mesh can halve an opening.

    References
    ----------
    EN IEC 62485-2, natural ventilation.

    Examples
    --------
    >>> round(opening_for_airflow(1.2 / 3600, OPENING_PER_AIRFLOW) * 1e4, 6)
    33.6
    """
    return airflow * opening_per_airflow


def spark_distance(cells, current, distance_one, current_one):
    """Distance from a battery's vents within which nothing may spark or glow.

    d = 28.8 mm·∛(n·I_gas/1 mA).

    Parameters
    ----------
    cells : int
        That vent at one place: 6 for a 12 V battery, [-]
    current : float
        Gassing current of one such battery, [A]
    distance_one : float
        `SPARK_DISTANCE_ONE_MILLIAMPERE`, [m]
    current_one : float
        The current that belongs to it, 0.001 A, [A]

    Returns
    -------
    distance : float
        Along a thread round corners, [m]

    Notes
    -----
    A wall that gas cannot pass ends it.

    References
    ----------
    EN IEC 62485-2, close vicinity to the battery (from memory).

    Examples
    --------
    >>> round(spark_distance(6, 4.0, SPARK_DISTANCE_ONE_MILLIAMPERE, 1e-3), 3)
    0.831
    """
    return distance_one * math.cbrt(cells * current / current_one)


def hydrogen_per_charge(faraday, molar_volume):
    """Hydrogen that a charge sets free in one cell once it all goes to gas.

    q = V_m/(2·F).

    Parameters
    ----------
    faraday : float
        `FARADAY`, [C/mol]
    molar_volume : float
        `MOLAR_VOLUME`, or another at another temperature, [m³/mol]

    Returns
    -------
    volume : float
        At the temperature of the molar volume, [m³/C]

    Notes
    -----
    Two electrons a molecule. Warm gas takes more room: 7 % more at 20 °C.

    References
    ----------
    Faraday's law of electrolysis.

    Examples
    --------
    >>> round(hydrogen_per_charge(FARADAY, MOLAR_VOLUME) * 3600 * 1e3, 4)
    0.4181
    """
    return molar_volume / (2 * faraday)
