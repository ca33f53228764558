"""One use of an appliance: its heat, its energy from the battery, and what puts that back.

energy_to_heat_water     energy to warm water
gas_mass                 gas that gives the same heat
energy_via_inverter      energy from the battery for a use the inverter is on for
energy_beside_others     energy a use adds while others keep the inverter on
energy_direct            energy from the battery through a DC adaptor
energy_left              energy a battery has to spare, at the low end of what is known
time_to_replace          time a source needs to put an energy back
"""

SPECIFIC_HEAT_WATER = 4188.0
"""J/kg/K, mean from 15 to 100 °C at atmospheric pressure. Source: IAPWS-IF97, computed."""

DENSITY_WATER = 999.0
"""kg/m³ at 15 °C. Source: IAPWS-IF97, computed (999.10)."""

HEAT_PROPANE = 46.34e6
"""J/kg, net. Source: standard heats of formation, 298 K, computed."""

HEAT_BUTANE = 45.72e6
"""J/kg, net, n-butane. Source: standard heats of formation, 298 K, computed."""


def energy_to_heat_water(volume, density, specific_heat, temperature_start, temperature_end, efficiency_heating):
    """Electrical energy to warm water.

    E = V·ρ·c·(T_2 − T_1)/η.

    Parameters
    ----------
    volume : float
        Of cold water, [m³]
    density : float
        Of the cold water, [kg/m³]
    specific_heat : float
        Mean over the temperatures, [J/kg/K]
    temperature_start : float
        Of the water at first, [°C]
    temperature_end : float
        Of the water at last, up to boiling, [°C]
    efficiency_heating : float
        Heat in the water over energy taken, 0 to 1, [-]

    Returns
    -------
    energy : float
        [J]

    Notes
    -----
    The same at any wattage, but for the heat a slow kettle loses on the way. Assumes that
    it is switched off at the boil.

    References
    ----------
    Specific heat and density of water: IAPWS-IF97.

    Examples
    --------
    >>> round(energy_to_heat_water(0.001, 999.0, 4188.0, 15.0, 100.0, 0.85) / 3600, 1)
    116.2
    """
    return volume * density * specific_heat * (temperature_end - temperature_start) / efficiency_heating


def gas_mass(heat, heat_of_combustion, efficiency_burner):
    """Mass of gas that puts the same heat into the pot.

    m = Q/(H·η).

    Parameters
    ----------
    heat : float
        Wanted in the pot, [J]
    heat_of_combustion : float
        Net, of the gas, [J/kg]
    efficiency_burner : float
        Heat in the pot over heat of the gas, 0 to 1, [-]

    Returns
    -------
    mass : float
        [kg]

    Notes
    -----
    Net, since a hob's steam goes up and away.

    References
    ----------
    Definition of the heat of combustion.

    Examples
    --------
    >>> gas_mass(2.0e6, 50.0e6, 0.4)
    0.1
    """
    return heat / (heat_of_combustion * efficiency_burner)


def energy_via_inverter(power_dc, time, standby_power, time_on):
    """Energy from the battery for a use that the inverter is on for.

    E = P_dc·t + P_0·(t_on − t).

    Parameters
    ----------
    power_dc : float
        Drawn while the appliance runs, standby included, [W]
    time : float
        How long the appliance runs, [s]
    standby_power : float
        Drawn with nothing running, [W]
    time_on : float
        How long the inverter is on for its sake, at least as long as it runs, [s]

    Returns
    -------
    energy : float
        [J]

    Notes
    -----
    The appliance carries the whole standby.

    References
    ----------
    Sum of power times time.

    Examples
    --------
    >>> energy_via_inverter(80.0, 3600.0, 20.0, 7200.0) / 3600
    100.0
    """
    return power_dc * time + standby_power * (time_on - time)


def energy_beside_others(power_dc_with, power_dc_without, time):
    """Energy a use adds while other loads keep the inverter on.

    E = (P_with − P_without)·t.

    Parameters
    ----------
    power_dc_with : float
        Drawn with the appliance running beside the others, [W]
    power_dc_without : float
        Drawn for the others alone, [W]
    time : float
        How long the appliance runs, [s]

    Returns
    -------
    energy : float
        [J]

    Notes
    -----
    The standby is theirs: it would be drawn in any case.

    References
    ----------
    Difference of two operating points.

    Examples
    --------
    >>> energy_beside_others(300.0, 246.0, 3600.0) / 3600
    54.0
    """
    return (power_dc_with - power_dc_without) * time


def energy_direct(power_dc_appliance, efficiency_adaptor, time):
    """Energy from the battery through a DC adaptor.

    E = P/η·t.

    Parameters
    ----------
    power_dc_appliance : float
        What the appliance itself takes, behind its adaptor, [W]
    efficiency_adaptor : float
        Out over in, 0 to 1; 1 where none is needed, [-]
    time : float
        How long it runs, [s]

    Returns
    -------
    energy : float
        [J]

    Notes
    -----
    Leaves out what the adaptor draws while idle: unplug it.

    References
    ----------
    Definition of efficiency.

    Examples
    --------
    >>> energy_direct(45.0, 0.9, 14400.0) / 3600
    200.0
    """
    return power_dc_appliance / efficiency_adaptor * time


def energy_left(capacity, voltage_nominal, health, state_of_charge, doubt, floor):
    """Energy a battery has to spare above a floor, at the low end of what is known.

    E = C·V·h·(z − δ − z_f), and nothing where that is negative.

    Parameters
    ----------
    capacity : float
        Rated, [C]
    voltage_nominal : float
        [V]
    health : float
        Capacity left over capacity rated, 0 to 1, [-]
    state_of_charge : float
        0 to 1, [-]
    doubt : float
        How far the state of charge may be below that, [-]
    floor : float
        State of charge to stop at, [-]

    Returns
    -------
    energy : float
        [J]

    Notes
    -----
    Leaves out that a lead-acid battery gives less at a large current: the voltage under
    load is checked apart.

    References
    ----------
    Definition of the state of charge.

    Examples
    --------
    >>> round(energy_left(360000.0, 12.0, 0.8, 0.9, 0.1, 0.5) / 3600, 9)
    288.0
    """
    share = state_of_charge - doubt - floor
    return capacity * voltage_nominal * health * max(share, 0.0)


def time_to_replace(energy, power_source, yield_share):
    """Time a source needs to put an energy back into the battery.

    t = E/(P·k).

    Parameters
    ----------
    energy : float
        Taken from the battery, [J]
    power_source : float
        Rated power of the source, [W]
    yield_share : float
        Energy that can be taken out again over rated power times time, all losses in it, [-]

    Returns
    -------
    time : float
        Of full sun, or of driving, [s]

    Notes
    -----
    The charge loss of the battery belongs in the share, and only there. Leaves out the
    taper near full.

    References
    ----------
    Energy balance.

    Examples
    --------
    >>> time_to_replace(720000.0, 100.0, 0.5) / 3600
    4.0
    """
    return energy / (power_source * yield_share)
