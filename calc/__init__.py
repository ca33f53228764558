"""The numbers behind the inverter field handbook: units, tables, physics, calculators."""

__version__ = "0.1.0"
