"""Heat that a loss leaves in a box, and the air that carries it away.

rise_in_closed_box   temperature rise inside a closed box
rise_with_airflow    temperature rise of air blown through
rise_with_both       temperature rise inside a box with a fan
airflow_for_rise     airflow that holds a rise
"""

HEAT_CAPACITY_OF_AIR = 1206.0
"""Of a cubic metre of air at 20 °C and sea level, J/(m³·K): 1.20 kg/m³ times 1005 J/(kg·K)."""


def rise_in_closed_box(power_loss, area, heat_transfer):
    """Temperature rise of the air inside a closed box.

    ΔT = P/(h·A).

    Parameters
    ----------
    power_loss : float
        Turned to heat inside, [W]
    area : float
        Outside of the box that stands free, [m²]
    heat_transfer : float
        Inside air to outside air, through both surfaces, h, [W/m²/K]

    Returns
    -------
    rise : float
        Inside air over outside air, once it has settled, [K]

    Notes
    -----
    One temperature in all of the box; the air above the heat sink is hotter. Errs low
    for a box lined with wood or carpet, which insulate.

    References
    ----------
    Newton's law of cooling.

    Examples
    --------
    >>> rise_in_closed_box(100.0, 2.0, 5.0)
    10.0
    """
    return power_loss / (heat_transfer * area)


def rise_with_airflow(power_loss, airflow, heat_capacity):
    """Temperature rise of air blown through a box.

    ΔT = P/(c·Q).

    Parameters
    ----------
    power_loss : float
        Turned to heat inside, [W]
    airflow : float
        Volume of air a second, [m³/s]
    heat_capacity : float
        Of a volume of air, ρ·c_p, [J/m³/K]

    Returns
    -------
    rise : float
        Air leaving over air coming in, [K]

    Notes
    -----
    Leaves out what the walls give off, so it errs high. A fan moves less than its label
    says once it works against grilles.

    References
    ----------
    Energy balance of the air.

    Examples
    --------
    >>> round(rise_with_airflow(162.0, 49 / 3600, 1206.0), 2)
    9.87
    """
    return power_loss / (heat_capacity * airflow)


def rise_with_both(power_loss, area, heat_transfer, airflow, heat_capacity):
    """Temperature rise inside a box that gives off heat through its walls and through the air blown through it.

    ΔT = P/(h·A + c·Q).

    Parameters
    ----------
    power_loss : float
        Turned to heat inside, [W]
    area : float
        Outside of the box that stands free, [m²]
    heat_transfer : float
        Inside air to outside air, through both surfaces, h, [W/m²/K]
    airflow : float
        Volume of air a second, [m³/s]
    heat_capacity : float
        Of a volume of air, ρ·c_p, [J/m³/K]

    Returns
    -------
    rise : float
        Air inside and leaving over air coming in, [K]

    Notes
    -----
    One temperature in all of the box. Without air it is `rise_in_closed_box`, without walls
    `rise_with_airflow`; it never lies above either.

    References
    ----------
    Energy balance of the box: two ways out side by side.

    Examples
    --------
    >>> rise_with_both(100.0, 2.0, 5.0, 0.01, 1000.0)
    5.0
    """
    return power_loss / (heat_transfer * area + heat_capacity * airflow)


def airflow_for_rise(power_loss, rise, heat_capacity):
    """Airflow that holds a temperature rise: `rise_with_airflow` solved for the airflow.

    Q = P/(c·ΔT).

    Parameters
    ----------
    power_loss : float
        Turned to heat inside, [W]
    rise : float
        Air leaving over air coming in, [K]
    heat_capacity : float
        Of a volume of air, ρ·c_p, [J/m³/K]

    Returns
    -------
    airflow : float
        [m³/s]

    Notes
    -----
    At 2000 m the air is a fifth thinner, and it takes a quarter more of it.

    References
    ----------
    Energy balance of the air.

    Examples
    --------
    >>> round(airflow_for_rise(162.0, 10.0, 1206.0) * 3600, 1)
    48.4
    """
    return power_loss / (heat_capacity * rise)

