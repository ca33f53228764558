"""Region presets: what the forms assume where the mains and the cable on the shelf are those of a place.

A choice made once. It sets what is assumed for the mains voltage and the kind of cable and
how sizes and lengths are said; it never says whose rule a cable must meet. A field goes by
it by way of `Field.by`, so a form that has such a field has REGION too.

REGION          the choice
by_region       a field whose default goes by it
voltage_ac      a field for the mains voltage
said_in_awg     whether sizes are said in AWG, and lengths in feet as well
feet            a length's second figure
length          a typed length as a sentence says it
presets         what is assumed in each region
"""

from dataclasses import replace
from functools import cache
from typing import NamedTuple

from calc import tables
from calc.calculators.form import Choice
from calc.units import format_quantity, restate_quantity


class Region(NamedTuple):
    """One preset: mains voltage [V], frequency [Hz], and whether cable goes by AWG and lengths by feet."""

    voltage: float
    frequency: float
    awg: bool
    feet: bool


@cache
def presets():
    """The presets of the table of mains supplies.

    Returns
    -------
    dict of Region
        By their id, for example "230-v-50-hz".
    """
    return {
        row["preset"]: Region(row["voltage"], row["frequency"], row["cable_sizes"] == "AWG", row["length_beside"] == "ft")
        for row in tables.load("regions").values
    }


REGION = Choice(
    "region", "Mains and cable as in",
    {"230-v-50-hz": "230 V, 50 Hz (also called 240 V), cable in mm²", "120-v-60-hz": "120 V, 60 Hz, cable in AWG"},
    default="230-v-50-hz", kept=True,
    hint="Kept on this device for every form. It changes only what you have not typed, and never whose rule applies.",
)  # fmt: skip


def by_region(one, texts):
    """A field of which something goes by the region.

    Parameters
    ----------
    one : Field or Choice
        The field as it is in the first preset.
    texts : callable
        Region → what differs there, as keyword arguments of the field.

    Returns
    -------
    Field or Choice
        The field with a variant for each preset in which something differs.
    """
    variants = {id: replace(one, **texts(region)) for id, region in presets().items()}
    return replace(one, by=REGION.name, variants={id: variant for id, variant in variants.items() if variant != one})


def voltage_ac(one):
    """A field for the mains voltage: that of the region where it is left out.

    Parameters
    ----------
    one : Field
        The field.

    Returns
    -------
    Field
        The same, by region.
    """
    return by_region(one, lambda region: {"default": f"{region.voltage:g} V"})


def said_in_awg(v):
    """Whether sizes are said in AWG first, and lengths in feet as well.

    Parameters
    ----------
    v : SimpleNamespace
        Values of a form.

    Returns
    -------
    bool
        False for a form that does not go by the region.
    """
    return presets()[v.region].awg if hasattr(v, "region") else False


def length(v, metres):
    """A typed length as a sentence says it, with its second figure; what came of feet is rounded.

    Parameters
    ----------
    v : SimpleNamespace
        Values of a form.
    metres : float
        [m].

    Returns
    -------
    str
        For example "2 m", "1.22 m (4.0 ft)".
    """
    plain = restate_quantity(metres, "m")
    figures = plain.partition("\u00a0")[0].replace(".", "").lstrip("0")
    return (plain if len(figures) < 4 else format_quantity(metres, "m")) + feet(v, metres)


def feet(v, length):
    """A length's second figure, to stand behind the first.

    Parameters
    ----------
    v : SimpleNamespace
        Values of a form.
    length : float
        [m].

    Returns
    -------
    str
        For example " (6.6 ft)"; "" where metres are enough.
    """
    return f" ({format_quantity(length, 'ft', 2)})" if presets()[v.region].feet else ""
