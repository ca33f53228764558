"""The docstrings of calc as data: sections, parameters, units."""

import importlib
import inspect
import pkgutil
import re
from dataclasses import dataclass

import calc
import calc.physics

SECTIONS = ("Parameters", "Attributes", "Returns", "Raises", "Notes", "References", "Examples")
"""In the order they stand in."""


@dataclass(frozen=True)
class Entry:
    """One parameter or one returned value."""

    name: str
    type: str
    text: str

    @property
    def unit(self):
        """What stands in the brackets at its end, or None."""
        found = re.search(r"\[([^\[\]]+)\]$", self.text)
        return found[1] if found else None


@dataclass(frozen=True)
class Docstring:
    """A docstring taken apart."""

    opening: str
    order: tuple
    sections: dict

    def entries(self, section):
        """The entries of Parameters, Returns or Raises."""
        entries = []
        for line in self.sections.get(section, "").splitlines():
            if line.startswith(" "):
                name, type, text = entries[-1]
                entries[-1] = name, type, f"{text} {line.strip()}".strip()
            elif line.strip():
                name, _, type = line.partition(" : ")
                entries.append((name, type, ""))
        return [Entry(*entry) for entry in entries]


def read(thing):
    """Take a docstring apart."""
    text = inspect.getdoc(thing) or ""
    parts = re.split(r"^([A-Z][a-z]+)\n-+\n", text, flags=re.MULTILINE)
    sections = dict(zip(parts[1::2], parts[2::2], strict=True))
    return Docstring(parts[0].strip(), tuple(parts[1::2]), sections)


def modules(package=calc):
    """A package and every module in it."""
    names = [module.name for module in pkgutil.walk_packages(package.__path__, package.__name__ + ".")]
    return [package, *map(importlib.import_module, names)]


def public(module):
    """Functions and classes a module defines under a public name."""
    return {
        name: thing
        for name, thing in vars(module).items()
        if not name.startswith("_") and (inspect.isfunction(inspect.unwrap(thing)) or inspect.isclass(thing)) and thing.__module__ == module.__name__
    }


PHYSICS = {
    f"{module.__name__.rpartition('.')[2]}.{name}": function for module in modules(calc.physics)[1:] for name, function in public(module).items()
}
"""Every formula, by "module.function"."""
