"""Short lists typed into one field: sizes on a shelf, loads that may be switched off.

Each wrong item is named, so that the rest of the list need not be searched.
"""

import re
from dataclasses import dataclass

from calc.calculators.form import Field
from calc.errors import FieldProblem
from calc.units import UnitProblem, read_quantity

MOST = 40  # items in one list


def _items(field, text):
    """The items of a list: between semicolons where there are any, else between commas."""
    items = [item.strip() for item in text.split(";" if ";" in text else ",") if item.strip()]
    if len(items) > MOST:
        raise FieldProblem(field, f"holds {len(items)} items: {MOST} are read at most")
    return items


def _read_each(field, items, read):
    """Every item read, or one problem that names all the wrong ones."""
    found, wrong = [], []
    for item in items:
        try:
            found.append(read(item))
        except UnitProblem as problem:
            wrong.append(f'"{item[:40]}": {problem}')
    if wrong:
        raise FieldProblem(field, "; ".join(wrong))
    return found


@dataclass(frozen=True)
class Sizes(Field):
    """Ratings such as "300, 600, 1000" or "1 kVA; 1,5 kVA", in the unit of the field."""

    def read(self, text):
        """Turn typed text into (sizes, rising, each once; how; basis)."""
        items = _items(self.name, text) or _items(self.name, self.default)
        sizes = _read_each(self.name, items, self._size)
        return tuple(sorted(set(sizes))), "given" if text.strip() not in ("", self.default) else "default", ""

    def _size(self, item):
        size = read_quantity(item, self.unit).likely
        low, high = self._limits
        if not low <= size <= high:
            raise UnitProblem(f"must be between {self.minimum} and {self.maximum}")
        return size


@dataclass(frozen=True)
class Uses(Field):
    """Loads with how long they run, such as "tv 60 W 3 h, heater 1 kW 30 min"."""

    def read(self, text):
        """Turn typed text into (uses, how, basis); a use is (name, power [W], time [s])."""
        uses = tuple(_read_each(self.name, _items(self.name, text), self._use))
        return (uses, "given", "") if uses else (None, "blank", "")

    def _use(self, item):
        found = re.fullmatch(r"(?P<name>[^\d,][^,]*?)\s+(?P<power>[\d.,]+\s*k?W)\s+(?:for\s+)?(?P<time>[\d.,]+\s*[a-z]+)", item, re.IGNORECASE)
        if not found:
            raise UnitProblem("enter name, power and time, for example tv 60 W 3 h")
        power, time = read_quantity(found["power"], "W").likely, read_quantity(found["time"], "h").likely
        if not 0 < power <= 20e3:
            raise UnitProblem("the power must be above 0 and up to 20 kW")
        if not 0 < time <= 7 * 86400:
            raise UnitProblem("the time must be above 0 and up to 7 days")
        return found["name"].strip()[:40], power, time
