"""The bibliography: where each number comes from, and how well it is known.

`kind` is standard, law, handbook, dataset, physics, common practice or memory.
`known` says how the figures used here were obtained: found (read in a copy or reprint),
derived (from a formula), computed (with a general-purpose library), common practice, or
from memory (known, not read in the text; printed as such).
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Source:
    """One entry of the bibliography."""

    id: str
    title: str
    edition: str
    kind: str
    known: str


def _entry(id, title, edition, kind, known):
    return id, Source(id, title, edition, kind, known)


SOURCES = dict(
    (
        _entry("ohm", "Ohm's law and the power balance of a circuit", "", "physics", "derived"),
        _entry("arithmetic", "Definitions of power, energy, charge and percentage", "", "physics", "derived"),
        _entry("copper", "IEC 60028, International standard of resistance for copper", "1925", "standard", "from memory"),
        _entry("iec60228", "IEC 60228, Conductors of insulated cables, Tables 2 and 3 (maximum resistance)", "2004", "standard", "found"),
        _entry("astm-b258", "ASTM B258, Standard nominal diameters and cross-sectional areas of AWG sizes", "", "standard", "derived"),
        _entry("astm-b8", "ASTM B8, Concentric-lay-stranded copper conductors (lay 2 %)", "", "standard", "from memory"),
        _entry("nec-table8", "NEC (NFPA 70), Chapter 9 Table 8, Conductor properties", "", "standard", "found"),
        _entry("cfr33", "33 CFR 183.425, Table 5 and notes (United States, petrol inboard boats)", "2014", "law", "found"),
        _entry("cfr33-notes", "33 CFR 183.425, Table 5 note 1, engine-space factors", "2014", "law", "from memory, the 105 °C factor found"),
        _entry("bs7671", "BS 7671 (implements IEC 60364-5-52), Tables 4E1A, 4F1A, 4F2A, direct current", "", "standard", "found"),
        _entry("square-law", "Conductor heating by the square of the current, as behind published ambient factors", "", "physics", "derived"),
        _entry("iso-small-craft", "ISO 10133 Annex A and ISO 13297, small craft conductors", "", "standard", "from memory"),
        _entry("drop-limits", "ISO 10133 and ABYC E-11: 3 % for feeders and vital equipment, 10 % otherwise", "", "standard", "found"),
        _entry("loss-model", "Schmidt and Sauer, three-term inverter loss model", "1996", "handbook", "from memory"),
        _entry("en50530", "EN 50530, Overall efficiency of grid connected photovoltaic inverters: European weights", "2010", "standard", "found"),
        _entry("cec", "Sandia performance test protocol for photovoltaic inverters, p. 17: CEC weights", "2005", "handbook", "found"),
        _entry("ripple", "Root mean square of a direct current with a sinusoidal ripple", "", "physics", "derived"),
        _entry("bci", "Battery Council International rest-voltage table for flooded lead-acid, 26.7 °C", "", "handbook", "found"),
        _entry("pybamm", "PyBaMM, Prada 2013 parameters, C/50 discharge of a lithium iron phosphate cell", "", "dataset", "computed"),
        _entry("sand87", "SAND87-7023, Stand-alone photovoltaic systems: a handbook of recommended design practices", "1988", "handbook", "found"),
        _entry("gum", "JCGM 100, Guide to the expression of uncertainty in measurement, 5.1.2", "2008", "standard", "from memory"),
        _entry("terminals", "Lugs, fuse holders and terminals are commonly 60 to 75 °C parts", "", "common practice", "common practice"),
        _entry("practice", "Common practice in the trade", "", "common practice", "common practice"),
    )
)
