"""A battery followed through days of sun and use, step by step.

taper_share   share of the energy still missing that a battery can take within one step
follow        state of charge, unmet need, voltage and losses of a whole trip
"""

import math


def taper_share(step, time_constant):
    """Share of the energy still missing that a battery can take within one step.

    s = 1 − e^(−Δt/τ).

    Parameters
    ----------
    step : float
        Length of the step, [s]
    time_constant : float
        Of the taper, τ, [s]

    Returns
    -------
    share : float
        0 to 1, [-]

    Notes
    -----
    Exact for a step that lies in the taper as a whole, so that it holds for any step.

    References
    ----------
    Integral of dE/dt = −E/τ, the ampere-hour law of lead-acid charging.

    Examples
    --------
    >>> round(taper_share(3600.0, 3600.0), 4)
    0.6321
    """
    return 1 - math.exp(-step / time_constant)


def follow(
    sources, draws, draws_must, draws_off, draws_off_must, needs, needs_must, step, stored_start, stored_full, stored_floor,
    rest_voltages, resistance, cut_out, current_limit, charge_limit, efficiency, taper_share,
):  # fmt: skip
    """State of charge, unmet need, voltage and losses of a trip.

    ΔE = −V_oc·I·Δt while the battery gives, η·V_oc·I·Δt while it takes, with
    I = P/V, V = (V_oc + √(V_oc² − 4·R·P))/2 and P the draw less what the sources bring.

    Parameters
    ----------
    sources : list of float
        Power the sources offer at the battery's posts, one for each step, [W]
    draws : list of float
        Drawn from the DC side with everything on, [W]
    draws_must : list of float
        Drawn with the must-haves alone, [W]
    draws_off : list of float
        Drawn by the DC loads alone, the inverter off, [W]
    draws_off_must : list of float
        Drawn by the must-haves among the DC loads, [W]
    needs : list of float
        What the loads themselves use, everything on, without the inverter's loss, [W]
    needs_must : list of float
        What the must-haves use, [W]
    step : float
        Length of a step, [s]
    stored_start : float
        In the battery at the start, [J]
    stored_full : float
        In the full battery, [J]
    stored_floor : float
        Below it only the must-haves stay on, [J]
    rest_voltages : list of float
        Of the battery, at even steps of its state of charge from empty to full, [V]
    resistance : float
        Of battery, cable and joints, [Ω]
    cut_out : float
        Voltage below which the inverter switches itself off, [V]
    current_limit : float
        Largest current the battery gives, [A]
    charge_limit : float
        Largest current the battery takes, [A]
    efficiency : float
        Charge out of the battery over charge into it, [-]
    taper_share : float
        Share of the energy still missing that it takes within a step, [-]

    Returns
    -------
    stored : list of float
        In the battery after each step, [J]
    unmet_must : float
        Need of must-haves not met, [J]
    unmet_other : float
        Other need not met, [J]
    delivered : float
        To the loads, [J]
    loss_inverter : float
        [J]
    loss_battery : float
        In resistance, cable included, and in charging, [J]
    unused : float
        Offered by the sources and not taken, [J]
    voltage_lowest : float
        At the inverter while it holds; the full battery's where nothing is drawn, [V]
    time_low : float
        At or below the floor, [s]
    time_cut_out : float
        The inverter off by itself under load, [s]

    Notes
    -----
    State of charge is counted in energy. The rest voltage is that at the start of a step.
    In the step that meets the floor the time is shared between everything and the
    must-haves, so that no energy is lost to the step. A load that the cut-out takes off is
    tried again in the next step. Sources feed the loads first. Powers are means over a
    step: a kettle of five minutes averaged over an hour hides its own drop. The rate
    effect of lead-acid (Peukert) is not in it: errs high for currents far above the
    rated one.

    References
    ----------
    Power balance of a source with resistance; conservation of energy.

    Examples
    --------
    >>> flat = [12.0, 12.0]
    >>> none = [0.0]
    >>> found = follow([0.0], [144.0], none, none, none, [120.0], none, 3600.0, 3.6e6, 3.6e6, 0.36e6, flat, 1e-9, 10.0, 99.0, 99.0, 1.0, 1.0)
    >>> round(found[0][0] / 3.6e6, 6), round(found[3] / 3600, 6), round(found[4] / 3600, 6)  # 144 Wh of 1000, 120 of them useful
    (0.856, 120.0, 24.0)
    """
    places = len(rest_voltages) - 1
    rises = [high - low for low, high in zip(rest_voltages, rest_voltages[1:])] + [0.0 * rest_voltages[0]]
    scale, four_r = places / stored_full, 4 * resistance
    stored, trace, low_enough = stored_start, [], stored_floor * (1 + 1e-9)
    unmet_must = unmet_other = gained = 0.0 * stored_full
    loss_inverter = (sum(draws) - sum(needs)) * step
    squares_out = squares_in = 0.0 * (sources[0] / rest_voltages[0]) ** 2
    surplus, time_low, time_cut_out = 0.0 * sources[0], 0.0 * step, 0.0 * step
    voltage_lowest = rest_voltages[-1]
    for index, draw in enumerate(draws):
        source = sources[index]
        place = stored * scale
        low = int(place)
        rest = rest_voltages[low] + rises[low] * (place - low)
        net = draw - source
        if net > 0:
            # The common case first: everything stays on, above the floor and the cut-out.
            inside = rest * rest - four_r * net
            volts = (rest + (inside**0.5 if inside > 0 else 0.0 * rest)) / 2
            current = net / volts
            after = stored - rest * current * step
            if inside <= 0 or volts < cut_out or current > current_limit or after < stored_floor:
                served, need, need_must, volts, tripped = _short(
                    (draw, draws_must[index], draws_off[index], draws_off_must[index]), (needs[index], needs_must[index]),
                    source, rest, stored, stored_floor, resistance, cut_out, current_limit, step,
                )  # fmt: skip
                unmet_must = unmet_must + (needs_must[index] - need_must) * step
                unmet_other = unmet_other + (needs[index] - needs_must[index] - (need - need_must)) * step
                loss_inverter = loss_inverter + (served - need - (draw - needs[index])) * step
                if tripped:
                    time_cut_out = time_cut_out + step
                net = served - source
                inside = rest * rest - four_r * net
                current = 2 * net / (rest + (inside**0.5 if inside > 0 else 0.0 * rest))
                after = stored - rest * current * step
            if net > 0:
                stored = after
                squares_out = squares_out + current * current
                if volts < voltage_lowest:
                    voltage_lowest = volts
        if net < 0:
            current = -2 * net / (rest + (rest * rest - four_r * net) ** 0.5)
            if current > charge_limit:
                current = charge_limit
            gain = efficiency * rest * current * step
            room = (stored_full - stored) * taper_share
            if gain > room:
                current, gain = current * (room / gain), room
            stored = stored + gain
            gained = gained + gain
            squares_in = squares_in + current * current
            surplus = surplus - net
        if stored <= low_enough:
            time_low = time_low + step
        trace.append(stored)
    delivered = sum(needs) * step - unmet_must - unmet_other
    taken = gained / efficiency + resistance * squares_in * step
    loss_battery = resistance * squares_out * step + (taken - gained)
    return trace, unmet_must, unmet_other, delivered, loss_inverter, loss_battery, surplus * step - taken, voltage_lowest, time_low, time_cut_out


def _short(draws, needs, source, rest, stored, stored_floor, resistance, cut_out, current_limit, step):
    """A step in which not everything can stay on: mean draw, need met, must-have need met, voltage, tripped."""
    first, must, off, off_must = draws
    need, need_must = needs
    spare = max(stored - stored_floor, 0.0 * stored)
    above = spare > 0
    asked, asked_off = (first, off) if above else (must, off_must)
    volts, current = _voltage_and_current(asked - source, rest, resistance)
    tripped = asked > asked_off and (volts < cut_out or current > current_limit)
    if tripped:  # the inverter takes everything on it along, the must-haves too
        first, must, need, need_must = off, off_must, off, off_must
        volts, current = _voltage_and_current((first if above else must) - source, rest, resistance)
    if first <= source:
        return first, need, need_must, rest, tripped
    if above and current <= current_limit and rest * current * step <= spare:
        return first, need, need_must, volts, tripped
    # At the floor, or at the battery's limit: the time is shared between everything and the must-haves.
    to_floor = source + _power_to_drain(spare, rest, resistance, current_limit, step)
    if first > must and to_floor >= must:
        share = (to_floor - must) / (first - must)
        return to_floor, need_must + share * (need - need_must), need_must, volts if above else rest, tripped
    if above:
        volts, current = _voltage_and_current(must - source, rest, resistance)
    if current <= current_limit and rest * current * step <= stored:
        return must, need_must, need_must, volts, tripped
    to_empty = min(source + _power_to_drain(stored, rest, resistance, current_limit, step), must)
    met = need_must * (to_empty / must)
    return to_empty, met, met, rest, tripped


def _voltage_and_current(power, rest, resistance):
    """Operating point of a draw; a current without end where there is none."""
    inside = rest * rest - 4 * resistance * power
    if inside <= 0:
        return 0.0 * rest, math.inf * power / rest
    volts = (rest + inside**0.5) / 2
    return volts, power / volts


def _power_to_drain(energy, rest, resistance, current_limit, step):
    """Power at the posts that drains an energy in one step, as far as the battery gives so much."""
    current = min(energy / (rest * step), current_limit)
    if 2 * resistance * current > rest:
        current = rest / (2 * resistance)
    return (rest - resistance * current) * current
