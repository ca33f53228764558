"""What happens when: loads by the hour, figures day by day, and the days something happens.

Each is one line of text, and each wrong item of it is named.
"""

import re
from functools import lru_cache

from calc.calculators.form import Field
from calc.errors import FieldProblem
from calc.units import UnitProblem, read_quantity

HOUR, DAY = 3600.0, 86400.0
DAYS_MOST = 60  # days in one trip
LOADS_MOST = 40  # loads in one schedule

_TIME = r"(\d{1,2})(?::(\d{2})|(\.(?:25|50?|75)))?"
_LOAD = re.compile(rf"{_TIME}\s*(?:h\s*)?(?:-|–|to)\s*{_TIME}\s*(?:h\s*)?[:=]\s*(.+)", re.IGNORECASE)
_MUST = re.compile(r"^(.*\S)\s+must(?:[ -]have)?$", re.IGNORECASE)


class Schedule(Field):
    """Loads by the hour, such as "18-22: 120 W, 7:30-8: 900 W, 22-6: 40 W must"."""

    def read(self, text):
        """Turn typed text into (loads or None, how, basis); a load is (start [s], end [s], power [W], whether it is a must-have)."""
        items = [item.strip() for item in re.split(r"[,;\n]", text) if item.strip()] or _items_of(self.default)
        if len(items) > LOADS_MOST:
            raise FieldProblem(self.name, f"holds {len(items)} loads: {LOADS_MOST} are read at most")
        how = "blank" if not items else "default" if text.strip() in ("", self.default) else "given"
        return tuple(self._load(item) for item in items) or None, how, ""

    def _load(self, item):
        found = _LOAD.fullmatch(item)
        if not found:
            raise FieldProblem(self.name, f'"{item[:40]}" is not a load: enter from-to: power, for example 18-22: 120 W, and must behind a must-have')
        start, end = self._time(item, *found.groups()[:3]), self._time(item, *found.groups()[3:6])
        if start == end:
            raise FieldProblem(self.name, f'in "{item[:40]}" the end is the start: enter 0-24 for the whole day')
        must = _MUST.match(found[7])
        try:
            power = read_quantity(must[1] if must else found[7], "W").likely
        except UnitProblem as problem:
            raise FieldProblem(self.name, f'in "{item[:40]}": {problem}') from None
        if not 0 <= power <= 20e3:
            raise FieldProblem(self.name, f'in "{item[:40]}" the power must be between 0 and 20 kW')
        return start, end, power, bool(must)

    def _time(self, item, hour, minute, fraction):
        time = int(hour) * HOUR + int(minute or 0) * 60 + float(fraction or 0) * HOUR
        if time > DAY or int(minute or 0) > 59:
            raise FieldProblem(self.name, f'in "{item[:40]}" there is no such time of day: enter 0 to 24, or 18:30')
        return time


def _items_of(default):
    return [item.strip() for item in default.split(",") if item.strip()]


class Daily(Field):
    """One figure for each day, such as "5, 4, 1.2" or "5; 4,5; 1,2"; a single one holds for every day."""

    def read(self, text):
        """Turn typed text into (values, how, basis)."""
        typed = text.strip() or self.default
        # Between semicolons a comma is a decimal comma; spaces part the days where nothing else does.
        split = r";" if ";" in typed else r"," if "," in typed else r"\s+(?=[\d.])"
        items = [item.strip() for item in re.split(split, typed) if item.strip()]
        if len(items) > DAYS_MOST:
            raise FieldProblem(self.name, f"holds {len(items)} days: {DAYS_MOST} are read at most")
        values = tuple(self._day(place, item) for place, item in enumerate(items, 1))
        return values, "default" if typed == self.default else "given", ""

    def _day(self, place, item):
        low, high = self._limits
        try:
            value = read_quantity(item, self.unit).likely
        except UnitProblem as problem:
            raise FieldProblem(self.name, f"day {place}: {problem}") from None
        if not low <= value <= high:
            raise FieldProblem(self.name, f'day {place}: "{item[:40]}" is not between {self.minimum} and {self.maximum}')
        return value


class DayList(Field):
    """The days of a trip on which something happens, such as "1, 4, 8" or "3-5", or "all"."""

    def read(self, text):
        """Turn typed text into (days counted from 1, or "all"; how; basis)."""
        typed = text.strip().lower()
        if typed in ("all", "every day", "daily"):
            return "all", "given", ""
        days = set()
        for item in re.split(r"[,;\s]+", re.sub(r"\s*[-–]\s*", "-", re.sub(r"\bdays?\s*(?=\d)", "", typed))) if typed else ():
            found = re.fullmatch(r"(\d{1,3})(?:-(\d{1,3}))?", item)
            if not found or not 1 <= int(found[1]) <= int(found[2] or found[1]) <= DAYS_MOST:
                raise FieldProblem(self.name, f'"{item[:40]}" is not a day of the trip: enter days such as 1, 4, 8 or 3-5, or all')
            days |= set(range(int(found[1]), int(found[2] or found[1]) + 1))
        return (tuple(float(day) for day in sorted(days)), "given", "") if days else (None, "blank", "")


@lru_cache(maxsize=64)
def pieces(loads_ac, loads_dc, step):
    """A day cut wherever something changes, for each step of it.

    Parameters
    ----------
    loads_ac, loads_dc : tuple
        Loads as Schedule reads them.
    step : float
        Length of a step, a whole part of a day, [s].

    Returns
    -------
    tuple
        (step's number, share of the step, AC power, that of must-haves, DC power, that of
        must-haves) for each piece of the day; shares of one step add up to 1.
    """
    cuts = {place * step for place in range(round(DAY / step) + 1)}
    cuts |= {time for start, end, *_ in (*loads_ac, *loads_dc) for time in (start, end)}
    edges = sorted(cuts)
    return tuple(
        (min(int(start / step + 1e-9), round(DAY / step) - 1), (end - start) / step, *_on(loads_ac, (start + end) / 2), *_on(loads_dc, (start + end) / 2))
        for start, end in zip(edges, edges[1:])
        if end - start > 1e-6
    )


def _on(loads, time):
    """Power of everything on at a time of the day, and of the must-haves."""
    on = [(power, must) for start, end, power, must in loads if (start <= time < end if start < end else time >= start or time < end)]
    return sum((power for power, _ in on), 0.0), sum((power for power, must in on if must), 0.0)
