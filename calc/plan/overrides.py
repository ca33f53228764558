"""The parts of a plan's computation by name, and the fields of each that may be overridden."""

from calc.calculators import CALCULATORS

PARTS = {
    "loads": "load-list",
    "size": "inverter-size",
    "voltage": "bus-voltage",
    "conversion": "conversion-loss",
    "battery": "battery-size",
    "cable": "dc-cable",
    "fuse": "fuse",
    "path": "supply-path",
    "start": "supply-path",
    "recharge": "recharge",
    "standby": "standby",
    "bad-week": "trip",
    "good-week": "trip",
    "joining": "changeover",
    "breaker": "fault-current",
    "heat": "heat",
}
"""Part by part the calculator that answers it, in the order in which they run."""

FIELDS_OF = {part: [one.name for one in CALCULATORS[calculator].fields if one.name != "region" and (one.name, part) != ("loads", "loads")] for part, calculator in PARTS.items()}
"""Fields of each part that a plan may override; loads and region stand in the plan itself."""
