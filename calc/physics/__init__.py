"""Formulas, one topic a module: pure functions on plain SI floats (temperatures in °C).

inverter    losses, efficiency, idle power
circuit     a constant-power load behind resistance, with ripple; the cut-out
conductor   resistance of warm copper, heating, what a cable can carry
battery     rest voltage and state of charge

Every function states its units in its docstring; the tests read them there, feed the
function quantities of those units and check that the answer has the unit promised.
"""
