"""Short lists typed into one field: sizes on a shelf, loads that may be switched off.

Each wrong item is named, so that the rest of the list need not be searched.
"""

import re
from typing import NamedTuple

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


class Use(NamedTuple):
    """One load with how long it runs; of those of one `turn` only one is on at a time, and WISH is the turn of the wish."""

    name: str
    power: float
    time: float
    turn: str


WISH = "wish"


class Uses(Field):
    """Loads with how long they run, such as "tv 60 W 3 h, kettle 1 kW 5 min or toaster 900 W 5 min, heater 1 kW 30 min in turn"."""

    def read(self, text):
        """Turn typed text into (uses, how, basis); those parted by "or" share a turn, and "in turn" is that of the wish."""
        read = _read_each(self.name, _items(self.name, text), self._group)
        uses = tuple(use for place, group in enumerate(read, 1) for use in self._turns(group, f"or {place}"))
        return (uses, "given", "") if uses else (None, "blank", "")

    def _group(self, item):
        return [self._use(part) for part in re.split(r"\s+or\s+", item, flags=re.IGNORECASE)]

    def _turns(self, group, own):
        """The loads of one item: alone each is on with everything else, unless it says otherwise."""
        if any(use.turn for use in group):
            return [use._replace(turn=WISH) for use in group]
        return [use._replace(turn=own) for use in group] if len(group) > 1 else group

    def _use(self, item):
        found = re.fullmatch(
            r"(?P<name>[^\d,][^,]*?)\s+(?P<power>[\d.,]+\s*k?W)\s+(?:for\s+)?(?P<time>[\d.,]+\s*[a-z]+)(?P<turn>\s+in\s+turn|\s+later)?", item.strip(), re.IGNORECASE
        )
        if not found:
            raise UnitProblem("enter name, power and time, for example tv 60 W 3 h")
        power, time = read_quantity(found["power"], "W").likely, read_quantity(found["time"], "h").likely
        if not 0 < power <= 20e3:
            raise UnitProblem("the power must be above 0 and up to 20 kW")
        if not 0 < time <= 7 * 86400:
            raise UnitProblem("the time must be above 0 and up to 7 days")
        return Use(found["name"].strip()[:40], power, time, WISH if found["turn"] else "")
