"""A set of exercises on paper: the sheet to hand out, and the key to keep."""

import re
from pathlib import Path

from lxml import html

from calc.exercises.sets import Order
from calc.render.exercises import sheet

from .book import A4_SHEET, sheets
from .library import finished, style


def make(order: Order, key: bool, root: Path, folder: Path, version: str, program: str | None) -> tuple[Path, int]:
    """Print the sheet or the key of a set; returns its file and how many pages it has."""
    words = re.sub(r"\W+", "-", order.seed).strip("-") or "set"
    kind = "key" if key else "sheet"
    name = f"exercises-{words}-level-{order.level}-{kind}"
    title = f"Exercises, seed {order.seed}: the {kind}"
    return finished(sheets(name, title, A4_SHEET, [html.fromstring(str(sheet(order, key)))], style(root)), folder, version, program)
