"""Formulas, one topic a module: pure functions on plain SI floats (temperatures in °C).

inverter    losses, efficiency, idle power
circuit     a constant-power load behind resistance, with ripple; the cut-out
conductor   resistance of warm copper, heating, what a cable can carry
battery     rest voltage and state of charge; what temperature, age and rate leave of a capacity
discharge   a battery emptied by a constant power
bank        batteries side by side: how they share a current
waveform    three-level and square output: harmonics, meters, motors, capacitor droppers
heat        heat in a box, and the air that carries it away
shore       a battery charger on a supply of limited current
gas         hydrogen from charging lead-acid batteries, ventilation
fuse        fuse rating, adiabatic heating of a cable in a fault
fault       fault currents of batteries and of inverters
measure     what a meter and a clamp tell, and how well they know it
use         one use of an appliance: heat, energy from the battery, what puts it back
load        what appliances draw, running and starting, together and over a day
sizing      what heat, height, margin and a start ask of an inverter's rating
charging    putting charge back: sun, engine, charger, taper
sun         the sun on a panel: hours, heat, cold strings
trip        a battery followed through days of sun and use

Every function states its units in its docstring; the tests read them there, feed the
function quantities of those units and check that the answer has the unit promised.
"""
