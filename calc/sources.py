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
        _entry("cfr33", "33 CFR 183.425, Table 5 and notes (United States, petrol inboard boats)", "2014", "law", "found"),
        _entry("cfr33-notes", "33 CFR 183.425, Table 5 note 1, engine-space factors", "2014", "law", "from memory, the 105 °C factor found"),
        _entry("bs7671", "BS 7671 (implements IEC 60364-5-52), Tables 4E1A, 4F1A, 4F2A, direct current", "", "standard", "found"),
        _entry("square-law", "Conductor heating by the square of the current, as behind published ambient factors", "", "physics", "derived"),
        _entry("iso-small-craft", "ISO 10133 Annex A and ISO 13297, small craft conductors", "", "standard", "from memory"),
        _entry("drop-limits", "ISO 10133 and ABYC E-11: 3 % for feeders and vital equipment, 10 % otherwise", "", "standard", "found"),
        _entry("loss-model", "Three-term inverter loss model of the photovoltaic literature", "1996", "handbook", "from memory"),
        _entry("en50530", "EN 50530, Overall efficiency of grid connected photovoltaic inverters: European weights", "2010", "standard", "found"),
        _entry("cec", "Sandia performance test protocol for photovoltaic inverters, p. 17: CEC weights", "2005", "handbook", "found"),
        _entry("ripple", "Root mean square of a direct current with a sinusoidal ripple", "", "physics", "derived"),
        _entry("bci", "Battery Council International rest-voltage table for flooded lead-acid, 26.7 °C", "", "handbook", "found"),
        _entry("pybamm", "PyBaMM, its 2013 parameter set for lithium iron phosphate, C/50 discharge of a lithium iron phosphate cell", "", "dataset", "computed"),
        _entry("sand87", "SAND87-7023, Stand-alone photovoltaic systems: a handbook of recommended design practices", "1988", "handbook", "found"),
        _entry("ieee485", "IEEE 485, Sizing lead-acid batteries for stationary applications: temperature factors, ageing and design margin", "", "standard", "from memory"),
        _entry("pv-worksheet", "Sizing worksheets for stand-alone photovoltaic systems: battery temperature multiplier", "", "handbook", "found"),
        _entry("iec62485", "EN IEC 62485-2 (EN 50272-2), Safety requirements for stationary batteries: gassing current", "", "standard", "found"),
        _entry("peukert", "Peukert's law of lead-acid capacity, with the rated hours", "1897", "physics", "derived"),
        _entry("entropy", "Temperature coefficient of a lead-acid cell, from its reaction entropy over two faradays", "", "physics", "computed"),
        _entry("kirchhoff", "Kirchhoff's laws, for the ladder of batteries and links", "", "physics", "derived"),
        _entry("battery-memory", "Limits of battery chemistries, as remembered from the trade", "", "memory", "from memory"),
        _entry("fourier", "Fourier series of a three-level wave, its rms and its mean", "", "physics", "derived"),
        _entry("en50160", "EN 50160, Voltage characteristics of public networks: harmonics at low voltage", "", "standard", "found"),
        _entry("meter-scale", "Rectified mean scaled by the form factor of a sine, π/(2·√2)", "", "physics", "derived"),
        _entry("mg1", "NEMA MG 1, 30.1.2: harmonic voltage factor, without orders divisible by three", "", "standard", "from memory"),
        _entry("iec60034-1", "IEC 60034-1: harmonic voltage factor of single-phase motors, 0.02", "", "standard", "from memory"),
        _entry("rc-edge", "Current of a resistor and a capacitor in series under a voltage ramp", "", "physics", "derived"),
        _entry("cooling", "Newton's law of cooling and the energy balance of air", "", "physics", "derived"),
        _entry("ventilation", "EN IEC 62485-2 (EN 50272-2), ventilation of batteries: airflow and openings", "", "standard", "found"),
        _entry("spark-distance", "EN IEC 62485-2, close vicinity to the battery: 28.8 mm by the cube root of cells and gassing current", "", "standard", "from memory"),
        _entry("transfer-rules", "IEC 60364-5-55 clause 551, IEC 60364-7-721, NEC 551: no two sources together, interlocked changeover", "", "standard", "from memory"),
        _entry("doe-appliances", "US Department of Energy, Estimating appliance and home electronic energy use: typical wattages (120 V)", "about 2011", "handbook", "found"),
        _entry("cec-library", "California Energy Commission inverter library, start-up self-use over rated power", "March 2019", "dataset", "computed"),
        _entry("water", "Specific heat of liquid water, 15 to 100 °C (IAPWS-IF97)", "", "physics", "computed"),
        _entry("fuel-heat", "Net heat of combustion of propane and butane, from standard heats of formation", "", "physics", "computed"),
        _entry("iec60038", "IEC 60038, IEC standard voltages", "", "standard", "from memory"),
        _entry("as60038", "AS 60038, Standard voltages", "", "standard", "from memory"),
        _entry("ansi-c84", "ANSI C84.1, Voltage ratings, range A", "", "standard", "from memory"),
        _entry("fuse-place", "33 CFR 183.455, Overcurrent protection: at the source, within 7 in, or within 40 in if sheathed; up to 150 % below 50 V", "", "law", "found"),
        _entry("fuse-place-memory", "33 CFR 183.460 (72 in from the battery) and ISO 10133 (200 mm)", "", "memory", "from memory"),
        _entry("iso8820", "ISO 8820-3 and 8820-5, Road vehicles, fuse-links: operating times", "", "standard", "from memory, the rows marked so found"),
        _entry("adiabatic-k", "IEC 60364-5-54, Annex A, and 60364-4-43, Table 43A: factor k and its formula", "2011", "standard", "found"),
        _entry("abyc-e11", "ABYC E-11, Table V-A, AC and DC electrical systems on boats: interrupting capacity", "", "standard", "found"),
        _entry("iec60898", "IEC 60898-1, Circuit-breakers for household installations: instantaneous tripping of curves B, C, D", "", "standard", "found"),
        _entry("short-circuit", "Prospective current of paralleled sources behind resistance", "", "physics", "derived"),
        _entry("inverter-limit", "Inverters limit their output current to about 1.5 to 2.5 times the rating", "", "common practice", "common practice"),
        _entry("typical-year", "Typical-year weather files: TMY2 and TMY3 (US), IWEC (ASHRAE), SWEC (Spain), INETI (Portugal); monthly means only", "", "dataset", "computed"),
        _entry("clear-sky", "Clear-sky irradiation by the Ineichen model of pvlib, monthly means", "", "dataset", "computed"),
        _entry("fao56", "FAO Irrigation and Drainage Paper 56, equations 21 to 25: the sun above the air", "1998", "handbook", "found"),
        _entry("ross", "Ross, cell temperature in proportion to irradiance; IEC 61215, nominal operating cell temperature", "1976", "handbook", "from memory"),
        _entry("sapm", "Sandia array performance model as in pvlib, cell temperature by mounting", "", "dataset", "computed"),
        _entry("iec60891", "IEC 60891, linear temperature coefficients of photovoltaic panels", "", "standard", "from memory"),
        _entry("ampere-hour-law", "Ampere-hour law of lead-acid charging", "1935", "handbook", "found"),
        _entry("army-manuals", "Battery manuals of the US Army, freezing point by density, interpolated", "", "handbook", "found"),
        _entry("gum", "JCGM 100, Guide to the expression of uncertainty in measurement, 5.1.2", "2008", "standard", "from memory"),
        _entry("terminals", "Lugs, fuse holders and terminals are commonly 60 to 75 °C parts", "", "common practice", "common practice"),
        _entry("practice", "Common practice in the trade", "", "common practice", "common practice"),
    )
)
