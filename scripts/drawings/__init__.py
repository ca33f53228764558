"""The handbook's drawings: a registry by name, and each as a figure of the page.

Each module holds one topic's drawings; what a drawing shows is either a Board (a circuit
as data, or a sketch) or a calc.result.Figure (a curve from the
calculators' own values).
"""

from scripts.drawings.registry import Drawing, by_topic, draw, load, names

__all__ = ["Drawing", "by_topic", "draw", "load", "names"]
