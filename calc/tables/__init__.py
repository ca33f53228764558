"""Published tables, as data.

A table is a CSV file and a TOML file of the same name; the TOML gives each column its
label, unit, source and how the figures are known. Numbers are handed out in SI units
(temperatures in °C).
"""

import csv
import os
import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

from calc.units import awg_area, to_si

AWG_SIZES = ("18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")
"""AWG sizes sold as cable, thin to thick."""


@dataclass(frozen=True)
class Column:
    """What one column holds."""

    label: str
    unit: str
    source: str
    known: str


@dataclass(frozen=True)
class Table:
    """One published table: `columns` by name, `rows` as printed, `values` in SI units.

    A wide table may say how a page shows it: `shown` holds a heading, a text with the
    columns in braces, and a text that is left out; `group` names the column that divides
    its rows.
    """

    name: str
    title: str
    note: str
    columns: dict
    rows: tuple
    values: tuple
    shown: tuple = ()
    group: str = ""

    def column(self, name):
        """All values of one column, in SI units."""
        return [row[name] for row in self.values]


@cache
def names():
    """Names of all tables, sorted."""
    files = resources.files(__name__).iterdir()
    return tuple(sorted(file.name.removesuffix(".toml") for file in files if file.name.endswith(".toml")))


@cache
def load(name):
    """Read one table.

    Parameters
    ----------
    name : str
        File name without its ending.

    Returns
    -------
    Table
        The table, read once.
    """
    about = tomllib.loads(_text(f"{name}.toml"))
    columns = {key: Column(**column) for key, column in about["columns"].items()}
    rows = tuple(csv.DictReader(_text(f"{name}.csv").splitlines()))
    values = tuple({key: _value(text, columns[key].unit) for key, text in row.items()} for row in rows)
    shown = tuple((part["label"], part["text"], part.get("omit")) for part in about.get("shown", ()))
    return Table(name, about["title"], about["note"], columns, rows, values, shown, about.get("group", ""))


def _text(file):
    """A file of this folder, by way of the loader: in the page only calc's data lies where its modules came from."""
    return __spec__.loader.get_data(os.path.join(os.path.dirname(__file__), file)).decode("utf-8")


def _value(text, unit):
    if unit == "text":
        return text
    if unit == "AWG":
        return awg_area_of(text)
    if unit == "Ω/km":
        return float(text) / 1000
    return float(text) if unit in ("-", "count") else to_si(float(text), unit)


def awg_area_of(size):
    """Cross-section of an AWG size as printed, "2" or "2/0".

    Parameters
    ----------
    size : str
        One of `AWG_SIZES`.

    Returns
    -------
    float
        Cross-section, [m²]. Source: ASTM B258.
    """
    return awg_area(1 - int(size.split("/")[0]) if "/" in size else int(size))
