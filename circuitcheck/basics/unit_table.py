"""The tables behind quantities: what is measured, in which units, in which spellings."""

from __future__ import annotations

from math import pi
from typing import NamedTuple


class QuantityRow(NamedTuple):
    """One kind of quantity and how people meet it."""

    words: str
    """With its article, for messages."""
    example: str
    si_name: str
    """Suffix of keys in JSON and of column heads in CSV."""
    si_pint: str
    """SI unit in pint's language; temperature is kept in degC, displacement per turn."""
    metric: str
    inch: str
    noise: float
    """SI size below which a figure is printed as 0: far under what a workshop can measure."""


QUANTITIES: dict[str, QuantityRow] = {
    name: QuantityRow(*row)
    for name, row in {
        "pressure": ("a pressure", "210 bar", "Pa", "pascal", "bar", "psi", 1.0),
        "flow": ("a flow", "60 L/min", "m3_per_s", "meter**3/second", "L/min", "gpm", 1e-10),
        "displacement": (
            "a displacement",
            "16 cc/rev",
            "m3_per_rev",
            "meter**3/revolution",
            "cc/rev",
            "cu in/rev",
            1e-12,
        ),
        "volume": ("a volume", "60 L", "m3", "meter**3", "L", "gal", 1e-11),
        "length": ("a length", "80 mm", "m", "meter", "mm", "in", 1e-9),
        "area": ("an area", "50 cm2", "m2", "meter**2", "cm2", "in2", 1e-13),
        "force": ("a force", "150 kN", "N", "newton", "kN", "lbf", 1e-3),
        "mass": ("a mass", "500 kg", "kg", "kilogram", "kg", "lb", 1e-6),
        "torque": ("a torque", "260 Nm", "N_m", "newton*meter", "Nm", "lb-ft", 1e-4),
        "power": ("a power", "11 kW", "W", "watt", "kW", "hp", 1e-3),
        "speed": ("a speed", "45 mm/s", "m_per_s", "meter/second", "mm/s", "in/s", 1e-8),
        "rotation": (
            "a speed of rotation",
            "1450 rpm",
            "rad_per_s",
            "radian/second",
            "rpm",
            "rpm",
            1e-7,
        ),
        "time": ("a time", "6 s", "s", "second", "s", "s", 1e-6),
        "temperature": ("a temperature", "50 degC", "degC", "degC", "degC", "degF", 1e-6),
        "temperature_difference": (
            "a difference of temperatures",
            "20 K",
            "K",
            "kelvin",
            "K",
            "K",
            1e-6,
        ),
        "viscosity": ("a viscosity", "46 cSt", "m2_per_s", "meter**2/second", "cSt", "cSt", 1e-12),
        "dynamic_viscosity": (
            "a dynamic viscosity",
            "40 mPa s",
            "Pa_s",
            "pascal*second",
            "mPa s",
            "mPa s",
            1e-9,
        ),
        "density": (
            "a density",
            "870 kg/m3",
            "kg_per_m3",
            "kilogram/meter**3",
            "kg/m3",
            "lb/ft3",
            1e-6,
        ),
        "ratio": ("a ratio without unit", "4:1", "1", "dimensionless", "", "", 1e-12),
        "share": ("a share", "92 %", "1", "dimensionless", "%", "%", 1e-9),
        "count": ("a count without unit", "3", "1", "dimensionless", "", "", 1e-12),
        "angle": ("an angle", "90 deg", "rad", "radian", "deg", "deg", 1e-9),
        "stiffness": (
            "a spring rate",
            "25 N/mm",
            "N_per_m",
            "newton/meter",
            "N/mm",
            "lbf/in",
            1e-3,
        ),
        "energy": ("an energy", "12 kJ", "J", "joule", "kJ", "Btu", 1e-3),
        "heat_conductance": (
            "a cooling rate",
            "0.4 kW/K",
            "W_per_K",
            "watt/kelvin",
            "kW/K",
            "kW/K",
            1e-6,
        ),
        "heat_transfer": (
            "a heat transfer of a wall",
            "12 W/(m2 K)",
            "W_per_m2_K",
            "watt/(meter**2*kelvin)",
            "W/(m2 K)",
            "Btu/(h ft2 degF)",
            1e-6,
        ),
        "specific_heat": (
            "a specific heat",
            "1.95 kJ/(kg K)",
            "J_per_kg_K",
            "joule/(kilogram*kelvin)",
            "kJ/(kg K)",
            "Btu/(lb degF)",
            1e-6,
        ),
        "frequency": ("a frequency", "50 Hz", "Hz", "hertz", "Hz", "Hz", 1e-9),
    }.items()
}

# Exact by definition: international yard and pound (1959), standard gravity (CGPM 1901),
# US gallon of 231 cubic inches, imperial gallon (UK 1976), atmosphere (CGPM 1954).
INCH, FOOT, POUND, GRAVITY = 0.0254, 0.3048, 0.45359237, 9.80665
LBF = POUND * GRAVITY
PSI = LBF / INCH**2
CUBIC_INCH = INCH**3
US_GALLON, IMPERIAL_GALLON = 231 * CUBIC_INCH, 4.54609e-3
ATMOSPHERE = 101325.0
# Conventional heads of mercury at 0 degC, density 13595.1 kg/m3 (as pint has them).
MM_HG = 13595.1 * GRAVITY * 1e-3
BTU = 1055.05585262  # international table

# quantity: (canonical spelling, other spellings parted by |, SI factor, pint expression).
# A space inside a spelling also stands for the marks * . - and the raised dot; a * only for
# the marks, because `3000 lbf in press` is a force in a step. A 2 or 3 behind a letter may
# be raised, the u of um may be the Greek letter. Capitals count: mPa is not MPa.
UNITS: dict[str, list[tuple[str, str, float, str]]] = {
    "pressure": [
        ("bar", "BAR|Bar|barg|BARG", 1e5, "bar"),
        ("mbar", "", 100.0, "millibar"),
        ("MPa", "N/mm2", 1e6, "megapascal"),
        ("kPa", "", 1e3, "kilopascal"),
        ("hPa", "", 100.0, "hectopascal"),
        ("Pa", "", 1.0, "pascal"),
        ("psi", "PSI|Psi|psig|PSIG|lbf/in2", PSI, "pound_force_per_square_inch"),
        ("ksi", "", 1e3 * PSI, "kilopound_force_per_square_inch"),
        ("inHg", "in Hg", 25.4 * MM_HG, "inch_Hg"),
        ("mmHg", "mm Hg", MM_HG, "millimeter_Hg"),
        ("atm", "", ATMOSPHERE, "standard_atmosphere"),
        ("kgf/cm2", "", GRAVITY * 1e4, "kilogram_force/centimeter**2"),
    ],
    "flow": [
        ("L/min", "l/min|L/MIN|lpm|LPM|Lpm|dm3/min", 1e-3 / 60, "liter/minute"),
        ("L/s", "l/s|dm3/s", 1e-3, "liter/second"),
        ("L/h", "l/h", 1e-3 / 3600, "liter/hour"),
        ("m3/h", "", 1 / 3600, "meter**3/hour"),
        ("m3/min", "", 1 / 60, "meter**3/minute"),
        ("m3/s", "", 1.0, "meter**3/second"),
        ("cc/min", "cm3/min|mL/min|ml/min", 1e-6 / 60, "centimeter**3/minute"),
        ("cc/s", "cm3/s|mL/s|ml/s", 1e-6, "centimeter**3/second"),
        ("cu in/min", "in3/min", CUBIC_INCH / 60, "inch**3/minute"),
        ("cu in/s", "in3/s", CUBIC_INCH, "inch**3/second"),
        ("gpm", "GPM|gal/min|US gpm|US GPM|US gal/min", US_GALLON / 60, "US_liquid_gallon/minute"),
        ("imp gpm", "imp GPM|imp gal/min", IMPERIAL_GALLON / 60, "imperial_gallon/minute"),
    ],
    "displacement": [
        ("cc/rev", "cm3/rev|mL/rev|ml/rev", 1e-6, "centimeter**3/revolution"),
        ("L/rev", "l/rev|dm3/rev", 1e-3, "liter/revolution"),
        ("m3/rev", "", 1.0, "meter**3/revolution"),
        ("cu in/rev", "in3/rev|CU IN/REV", CUBIC_INCH, "inch**3/revolution"),
    ],
    "volume": [
        ("L", "l|dm3", 1e-3, "liter"),
        ("cc", "cm3|mL|ml", 1e-6, "centimeter**3"),
        ("mm3", "", 1e-9, "millimeter**3"),
        ("m3", "", 1.0, "meter**3"),
        ("cu in", "in3", CUBIC_INCH, "inch**3"),
        ("gal", "US gal", US_GALLON, "US_liquid_gallon"),
        ("imp gal", "", IMPERIAL_GALLON, "imperial_gallon"),
    ],
    "length": [
        ("mm", "", 1e-3, "millimeter"),
        ("cm", "", 1e-2, "centimeter"),
        ("m", "", 1.0, "meter"),
        ("km", "", 1e3, "kilometer"),
        ("um", "", 1e-6, "micrometer"),
        ("in", "", INCH, "inch"),
        ("ft", "", FOOT, "foot"),
        ("yd", "", 3 * FOOT, "yard"),
    ],
    "area": [
        ("mm2", "", 1e-6, "millimeter**2"),
        ("cm2", "", 1e-4, "centimeter**2"),
        ("m2", "", 1.0, "meter**2"),
        ("in2", "sq in", INCH**2, "inch**2"),
        ("ft2", "sq ft", FOOT**2, "foot**2"),
    ],
    "force": [
        ("N", "", 1.0, "newton"),
        ("daN", "", 10.0, "decanewton"),
        ("kN", "", 1e3, "kilonewton"),
        ("MN", "", 1e6, "meganewton"),
        ("lbf", "", LBF, "pound_force"),
        ("kgf", "", GRAVITY, "kilogram_force"),
    ],
    "mass": [
        ("kg", "", 1.0, "kilogram"),
        ("g", "", 1e-3, "gram"),
        ("t", "", 1e3, "metric_ton"),
        ("lb", "", POUND, "pound"),
    ],
    "torque": [
        ("Nm", "N m", 1.0, "newton*meter"),
        ("daNm", "daN m", 10.0, "decanewton*meter"),
        ("kNm", "kN m", 1e3, "kilonewton*meter"),
        ("lb-ft", "lb ft|ft lb|lbf ft|ft lbf", LBF * FOOT, "pound_force*foot"),
        ("lb-in", "in lb|lbf*in|in lbf", LBF * INCH, "pound_force*inch"),
    ],
    "power": [
        ("kW", "KW", 1e3, "kilowatt"),
        ("W", "", 1.0, "watt"),
        ("MW", "", 1e6, "megawatt"),
        ("hp", "HP", 550 * LBF * FOOT, "horsepower"),
        ("PS", "", 75 * GRAVITY, "metric_horsepower"),
        ("Btu/h", "BTU/h", BTU / 3600, "Btu_it/hour"),
    ],
    "speed": [
        ("mm/s", "", 1e-3, "millimeter/second"),
        ("cm/s", "", 1e-2, "centimeter/second"),
        ("m/s", "", 1.0, "meter/second"),
        ("mm/min", "", 1e-3 / 60, "millimeter/minute"),
        ("m/min", "", 1 / 60, "meter/minute"),
        ("km/h", "", 1 / 3.6, "kilometer/hour"),
        ("in/s", "", INCH, "inch/second"),
        ("in/min", "", INCH / 60, "inch/minute"),
        ("ft/s", "", FOOT, "foot/second"),
        ("ft/min", "", FOOT / 60, "foot/minute"),
        ("mph", "", 5280 * FOOT / 3600, "mile/hour"),
    ],
    "rotation": [
        ("rpm", "RPM|rev/min|r/min", pi / 30, "revolution/minute"),
        ("rev/s", "", 2 * pi, "revolution/second"),
        ("rad/s", "", 1.0, "radian/second"),
    ],
    "time": [
        ("s", "", 1.0, "second"),
        ("ms", "", 1e-3, "millisecond"),
        ("min", "", 60.0, "minute"),
        ("h", "", 3600.0, "hour"),
    ],
    "temperature": [("degC", "", 1.0, "degC"), ("degF", "", 5 / 9, "degF")],
    "temperature_difference": [("K", "", 1.0, "kelvin")],
    "viscosity": [
        ("cSt", "mm2/s", 1e-6, "centistokes"),
        ("m2/s", "", 1.0, "meter**2/second"),
        ("SUS", "SSU", 1.0, ""),  # a curve, not a factor
    ],
    "dynamic_viscosity": [
        ("mPa s", "cP", 1e-3, "millipascal*second"),
        ("Pa s", "", 1.0, "pascal*second"),
    ],
    "density": [
        ("kg/m3", "", 1.0, "kilogram/meter**3"),
        ("kg/L", "kg/l|g/cm3|kg/dm3", 1e3, "kilogram/liter"),
        ("lb/ft3", "", POUND / FOOT**3, "pound/foot**3"),
    ],
    "share": [("%", "", 0.01, "percent")],
    "angle": [
        ("deg", "", pi / 180, "degree"),
        ("rad", "", 1.0, "radian"),
        ("rev", "", 2 * pi, "revolution"),
    ],
    "stiffness": [
        ("N/mm", "kN/m", 1e3, "newton/millimeter"),
        ("N/m", "", 1.0, "newton/meter"),
        ("kN/mm", "", 1e6, "kilonewton/millimeter"),
        ("lbf/in", "", LBF / INCH, "pound_force/inch"),
    ],
    "energy": [
        ("J", "", 1.0, "joule"),
        ("kJ", "", 1e3, "kilojoule"),
        ("MJ", "", 1e6, "megajoule"),
        ("Wh", "", 3600.0, "watt_hour"),
        ("kWh", "", 3.6e6, "kilowatt_hour"),
        ("Btu", "BTU", BTU, "Btu_it"),
    ],
    "heat_conductance": [
        ("kW/K", "kW/degC", 1e3, "kilowatt/kelvin"),
        ("W/K", "W/degC", 1.0, "watt/kelvin"),
    ],
    "heat_transfer": [
        ("W/(m2 K)", "W/(m2K)|W/m2K|W/m2 K|W/(m2 degC)", 1.0, "watt/(meter**2*kelvin)"),
        (
            "Btu/(h ft2 degF)",
            "BTU/(h ft2 degF)",
            BTU / 3600 / FOOT**2 * 9 / 5,
            "Btu_it/(hour*foot**2*delta_degF)",
        ),
    ],
    "specific_heat": [
        ("kJ/(kg K)", "kJ/(kg degC)|kJ/kgK", 1e3, "kilojoule/(kilogram*kelvin)"),
        ("J/(kg K)", "J/(kg degC)|J/kgK", 1.0, "joule/(kilogram*kelvin)"),
        ("Btu/(lb degF)", "BTU/(lb degF)", BTU / POUND * 9 / 5, "Btu_it/(pound*delta_degF)"),
    ],
    "frequency": [("Hz", "", 1.0, "hertz"), ("spm", "", 1 / 60, "1/minute")],
    "ratio": [],
    "count": [],
}

ABSOLUTE = {"bar abs": "bara|BARA", "psi abs": "psia|PSIA"}
"""Further spellings of absolute pressures; every other pressure unit takes ``abs`` behind it."""

ADVICE = {
    "ton": "'ton' means three different masses: write t (1000 kg) or lb, or a force in kN or lbf",
    "tons": "'tons' means three different masses: write t (1000 kg) or lb, or a force in kN or lbf",
    "tonf": "'tonf' means three different forces: write kN or lbf",
    "Gal": "a gallon is 'gal' (US, 3.785 L) or 'imp gal' (4.546 L)",
    "gallon": "a gallon is 'gal' (US, 3.785 L) or 'imp gal' (4.546 L)",
    "gallons": "a gallon is 'gal' (US, 3.785 L) or 'imp gal' (4.546 L)",
    "kg/cm2": "a pressure takes a force: kgf/cm2 (0.981 bar)",
    "mPa": "mPa is a thousandth of a pascal: pressure takes MPa (10 bar)",
    "CV": "write kW, or PS for the metric horsepower",
    "C": "a temperature is written degC, a difference K",
    "F": "a temperature is written degF, a difference K",
    "in/rev": "a displacement is a volume a turn: cu in/rev",
    '"': "inches are written in",
}
"""Spellings refused on purpose, with what to write instead."""
