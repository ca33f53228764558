"""Loads: what runs together, what starts, what it adds up to in a day.

apparent_power            volt-amps of a load
power_input_from_cooking  what a microwave oven takes for what it puts into the food
starting_apparent_power   volt-amps while a load starts
reactive_power            volt-amps reactive of a load
apparent_power_of_sum     volt-amps of a sum of sinusoidal currents
energy_of_use             energy of a load in a day
"""


def apparent_power(power_ac, power_factor):
    """Apparent power of a load.

    S = P/PF.

    Parameters
    ----------
    power_ac : float
        Real power, [W]
    power_factor : float
        Real power over apparent power, 0 to 1, [-]

    Returns
    -------
    apparent_power : float
        [VA]

    Notes
    -----
    What an inverter's current limit sees.

    References
    ----------
    Definition of the power factor.

    Examples
    --------
    >>> apparent_power(360.0, 0.6)
    600.0
    """
    return power_ac / power_factor


def power_input_from_cooking(power_cooking, efficiency_oven):
    """Power a microwave oven takes from the socket for its cooking power.

    P = P_cook/η.

    Parameters
    ----------
    power_cooking : float
        Power into the food, as on the front of the oven, [W]
    efficiency_oven : float
        Cooking power over input power, 0 to 1, [-]

    Returns
    -------
    power_ac : float
        Input power, [W]

    Notes
    -----
    The rear plate often gives the input; it is the better figure.

    References
    ----------
    Definition of efficiency.

    Examples
    --------
    >>> power_input_from_cooking(700.0, 0.625)
    1120.0
    """
    return power_cooking / efficiency_oven


def starting_apparent_power(apparent_power_running, starting_factor):
    """Apparent power of a load while it starts.

    S_start = k·S.

    Parameters
    ----------
    apparent_power_running : float
        When running, [VA]
    starting_factor : float
        Starting current over running current, [-]

    Returns
    -------
    apparent_power : float
        [VA]

    Notes
    -----
    At full voltage. An inverter at its limit gives less voltage, and a motor then has
    less torque: it may stall rather than start slowly.

    References
    ----------
    Locked-rotor current over full-load current.

    Examples
    --------
    >>> starting_apparent_power(200.0, 5.0)
    1000.0
    """
    return apparent_power_running * starting_factor


def reactive_power(power_ac, apparent_power_running):
    """Reactive power of a load.

    Q = √(S² − P²).

    Parameters
    ----------
    power_ac : float
        Real power, [W]
    apparent_power_running : float
        Apparent power, at least the real power, [VA]

    Returns
    -------
    reactive_power : float
        [VA]

    Notes
    -----
    Sinusoidal currents; taken as inductive.

    References
    ----------
    Definition of reactive power.

    Examples
    --------
    >>> reactive_power(300.0, 500.0)
    400.0
    """
    return (apparent_power_running**2 - power_ac**2) ** 0.5


def apparent_power_of_sum(power_sum, reactive_power_sum):
    """Apparent power of several sinusoidal loads together.

    S = √((ΣP)² + (ΣQ)²).

    Parameters
    ----------
    power_sum : float
        Sum of the real powers, [W]
    reactive_power_sum : float
        Sum of the reactive powers, [VA]

    Returns
    -------
    apparent_power : float
        [VA]

    Notes
    -----
    Never above the plain sum of the apparent powers, which is the safe side and holds for
    the peaky currents of electronic supplies too.

    References
    ----------
    Addition of phasors.

    Examples
    --------
    >>> apparent_power_of_sum(300.0, 400.0)
    500.0
    """
    return (power_sum**2 + reactive_power_sum**2) ** 0.5


def energy_of_use(power, duty, time, quantity):
    """Energy of a load in a day.

    E = n·P·d·t.

    Parameters
    ----------
    power : float
        While it draws power, [W]
    duty : float
        Share of its time on for which it does, 0 to 1, [-]
    time : float
        Switched on, in a day, [s]
    quantity : float
        How many of them, [-]

    Returns
    -------
    energy : float
        [J]

    Notes
    -----
    A fridge is switched on all day and draws power for a third of it.

    References
    ----------
    Definition of energy.

    Examples
    --------
    >>> energy_of_use(60.0, 0.5, 7200.0, 2.0) / 3600
    120.0
    """
    return quantity * power * duty * time
