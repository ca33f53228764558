"""The calculators, one module per question a person asks."""

from calc.calculators import conversion_loss, dc_cable, load_list, standby, supply_path

CALCULATORS = {
    module.CALCULATOR.id: module.CALCULATOR
    for module in (load_list, supply_path, dc_cable, standby, conversion_loss)
}
"""Every calculator by its id, in the order of the handbook."""
