"""The fields that describe an inverter's losses, and the loss terms behind them.

Shared by every calculator that turns AC watts into DC watts.
"""

from calc.calculators.form import Field, Points, Unknown
from calc.errors import FieldProblem
from calc.physics import inverter
from calc.units import format_quantity, restate_quantity

RATING = Field(
    "rating", "Inverter's continuous rating", "VA", default="2000 VA", minimum="20 VA", maximum="20 kVA",
    hint="On the type plate, as VA or W continuous; not the peak figure.",
)  # fmt: skip
STANDBY_POWER = Field(
    "standby_power", "Standby power, on with nothing plugged in", "W", default="20 W", minimum="0 W", maximum="500 W",
    tolerance="10 %", basis="common practice: units differ by about 10 %",
    unknown=Unknown("20 W", "6 W", "40 W", "common practice: 6 to 40 W over the usual sizes"),
    hint="Specification sheet: no-load or idle consumption. Measure it if you can.", more=True,
)  # fmt: skip
EFFICIENCY_FULL = Field(
    "efficiency_full", "Efficiency at full load", "%", default="89 %", minimum="40 %", maximum="99.5 %",
    tolerance="1 %", basis="common practice: sheets are good to about one point",
    unknown=Unknown("89 %", "85 %", "92 %", "common practice for battery inverters"),
    hint="Specification sheet.", more=True,
)  # fmt: skip
EFFICIENCY_PEAK = Field(
    "efficiency_peak", "Best efficiency at any load", "%", default="91 %", minimum="40 %", maximum="99.5 %",
    tolerance="1 %", basis="common practice: sheets are good to about one point",
    unknown=Unknown("91 %", "88 %", "94 %", "common practice for battery inverters"),
    hint="Specification sheet: often the only efficiency printed large.", more=True,
)  # fmt: skip
POINTS = Points(
    "points", "Efficiency points, in place of the two efficiencies", default="",
    hint="Load:efficiency pairs, such as 10%:86%, 50%:91%, 100%:89%.", more=True,
)  # fmt: skip
POWER_FACTOR = Field(
    "power_factor", "Power factor of the load", "", default="1", minimum="0.1", maximum="1",
    hint="1 for heating; 0.5 to 0.8 for motors. Real power over apparent power.", more=True,
    unknown=Unknown("0.9", "0.6", "1", "common practice: 0.6 for a motor, 1 for heating"),
)  # fmt: skip
RATED_TO = Unknown("40 °C", "25 °C", "45 °C", "common practice: 25 to 45 °C, by the sheet")
"""Air up to which the full rating holds."""
LOSS_PER_DEGREE = Unknown("2 %", "1 %", "3 %", "common practice")
"""Share of the rating lost for each degree above that."""

FIELDS = (RATING, STANDBY_POWER, EFFICIENCY_FULL, EFFICIENCY_PEAK, POINTS)


def terms(v):
    """Loss terms a and b, or None where the values contradict each other.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the fields above, in SI units.

    Returns
    -------
    tuple of float or None
        (a, b).
    """
    if v.points:
        loads = [load * v.rating if share else load for (load, share), _ in v.points]
        a, b = inverter.loss_terms_from_points(v.standby_power, v.rating, loads, [eta for _, eta in v.points])
    else:
        # The ends of the two efficiencies' ranges may cross; peak is never below full load.
        peak = max(v.efficiency_peak, v.efficiency_full)
        a, b = inverter.loss_terms_from_two(v.standby_power, v.rating, v.efficiency_full, peak)
    return (max(a, 1.0), max(b, 0.0))


def check(v):
    """Raise FieldProblem where standby and efficiencies contradict each other.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the fields above, in SI units.
    """
    if v.points:
        _check_points(v)
        return
    if v.efficiency_peak < v.efficiency_full:
        raise FieldProblem(
            "efficiency_peak",
            f"the best efficiency cannot lie below the {restate_quantity(v.efficiency_full, '%')} at full load: "
            "enter the higher of the two here",
        )
    most = inverter.standby_power_max(v.rating, v.efficiency_full, v.efficiency_peak)
    if v.standby_power > most * (1 + 1e-9):
        raise FieldProblem(
            "standby_power",
            f"an inverter of {restate_quantity(v.rating, 'VA')} that reaches {restate_quantity(v.efficiency_peak, '%')} "
            f"cannot draw more than {format_quantity(most, 'W')} at no load: lower this, or the efficiencies",
        )


def _check_points(v):
    for (load, share), eta in v.points:
        if not 0 < (load if share else load / v.rating) <= 1.5:
            raise FieldProblem("points", "each load must be above 0 and up to 150 % of the rating")
        if not 0.05 <= eta <= 0.995:
            raise FieldProblem("points", "each efficiency must be between 5 % and 99.5 %")
    if len({load * (v.rating if share else 1) for (load, share), _ in v.points}) < 2:
        raise FieldProblem("points", "enter at least two different loads, for example 10%:86%, 100%:89%")
    loads = [load * v.rating if share else load for (load, share), _ in v.points]
    a, b = inverter.loss_terms_from_points(v.standby_power, v.rating, loads, [eta for _, eta in v.points])
    if a < 1 - 1e-9 or b < -1e-9:
        raise FieldProblem(
            "points",
            f"no loss curve with {restate_quantity(v.standby_power, 'W')} of standby fits these points: "
            "check the pairs, or the standby power",
        )


def power_dc(v, power_ac, power_factor):
    """DC power for an AC load, from the fields above.

    Parameters
    ----------
    v : SimpleNamespace
        Values of the fields above, in SI units.
    power_ac : float
        Real power of the load, [W].
    power_factor : float
        0 to 1.

    Returns
    -------
    float
        [W].
    """
    a, b = terms(v)
    return inverter.power_dc(power_ac, power_factor, v.rating, v.standby_power, a, b)


def explain(case):
    """Write the loss terms into the working.

    Parameters
    ----------
    case : Case
        The run.
    """
    v = case.values
    a, b = terms(v)
    if v.points:
        case.find("loss-points", "note", f"The loss curve runs through your {len(v.points)} points by least squares: a = {a:.4f}, b = {b:.4f}.")
        return
    share = {"P_0": (v.standby_power, "W"), "P_r": (v.rating, "W")}
    case.step(
        "b", "quadratic loss term", "(sqrt(P_0/P_r) + sqrt(1/eta_full - 1/eta_peak))**2",
        {**share, "eta_full": (v.efficiency_full, "%"), "eta_peak": (v.efficiency_peak, "%")}, b, "", "loss-model",
    )  # fmt: skip
    case.step(
        "a", "proportional loss term", "1/eta_peak - 2*sqrt(P_0/P_r*b)",
        {"eta_peak": (v.efficiency_peak, "%"), **share, "b": (b, "")}, a, "", "loss-model",
    )  # fmt: skip


def explain_power_dc(case, power_ac, power_factor, power_dc_value):
    """Write the DC power into the working.

    Parameters
    ----------
    case : Case
        The run.
    power_ac, power_factor, power_dc_value : float
        The load and the DC power found for it.
    """
    v = case.values
    a, b = terms(v)
    case.step(
        "P_dc", "power from the DC side", "P_0 + a*P + b*(P/PF)**2/S_r",
        {"P_0": (v.standby_power, "W"), "a": (a, ""), "P": (power_ac, "W"), "b": (b, ""), "PF": (power_factor, ""), "S_r": (v.rating, "VA")},
        power_dc_value, "W", "loss-model",
    )  # fmt: skip
