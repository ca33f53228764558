"""The calculators, one module per question a person asks."""

from calc.calculators import (
    ac_or_dc,
    appliance_cost,
    battery_size,
    bus_voltage,
    changeover,
    charge_state,
    conversion_loss,
    dc_cable,
    fault_current,
    fuse,
    heat,
    inverter_size,
    load_list,
    measure,
    parallel_bank,
    recharge,
    rule_of_thumb,
    runtime,
    standby,
    supply_path,
    tonight,
    trip,
    waveform,
)

GROUPS = {
    "Loads and inverter": (load_list, inverter_size, waveform, conversion_loss, standby, ac_or_dc, appliance_cost, tonight),
    "From battery to inverter": (supply_path, bus_voltage, dc_cable, fuse, fault_current, changeover, heat),
    "Battery": (battery_size, runtime, charge_state, parallel_bank),
    "Putting it back": (recharge, trip),
    "Measure and check": (measure, rule_of_thumb),
}
"""The modules by what a question is about, in the order of the handbook."""

CALCULATORS = {module.CALCULATOR.id: module.CALCULATOR for modules in GROUPS.values() for module in modules}
"""Every calculator by its id, in the order of the handbook."""
