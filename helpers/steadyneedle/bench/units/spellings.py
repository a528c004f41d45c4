"""How technicians spell units, and which unit of pint each spelling means."""

from __future__ import annotations

_PRESSURE = {
    "bar": "bar",
    "mbar": "millibar",
    "Pa": "pascal",
    "hPa": "hectopascal",
    "kPa": "kilopascal",
    "MPa": "megapascal",
    "psi": "psi",
    "lbf/in2": "psi",
    "kgf/cm2": "kilogram_force_per_square_centimeter",
    "kg/cm2": "kilogram_force_per_square_centimeter",
    "at": "technical_atmosphere",
    "atm": "standard_atmosphere",
    "mmHg": "millimeter_Hg",
    "inHg": "inch_Hg",
    "Torr": "torr",
    "cmH2O": "centimeter_H2O",
    "mmH2O": "millimeter_H2O_conventional",
    "inH2O": "inch_H2O_conventional",
    "ftH2O": "foot_H2O_conventional",
    "inH2O39F": "inch_H2O_at_39F",
    "inH2O60F": "inch_H2O_at_60F",
    "lb/in2": "psi",
    "lbs/in2": "psi",
    "kp/cm2": "kilogram_force_per_square_centimeter",
    "N/m2": "pascal",
    "N/mm2": "megapascal",
    "N/cm2": "newton/centimeter**2",
    "msw": "metre_sea_water",
    "fsw": "foot_sea_water",
    "fsw33": "foot_sea_water_33",
}
_PRESSURE |= {
    f"{size}{word}": f"{name}_H2O{'' if size == 'cm' else '_conventional'}"
    for size, name in (("mm", "millimeter"), ("cm", "centimeter"), ("in", "inch"))
    for word in ("WC", "WG", "WS", "Aq", "Water")  # column, gauge, Wassersäule, aqua
}
_TIME = {
    "s": "second",
    "sec": "second",
    "ms": "millisecond",
    "min": "minute",
    "h": "hour",
    "hr": "hour",
    "d": "day",
}
_LENGTH = {
    "µm": "micrometer", "um": "micrometer", "mm": "millimeter", "cm": "centimeter", "m": "meter",
    "km": "kilometer", "in": "inch", "ft": "foot",
}  # fmt: skip
_AREA = {
    "µm2": "micrometer**2", "um2": "micrometer**2", "mm2": "millimeter**2", "cm2": "centimeter**2",
    "m2": "meter**2", "in2": "inch**2", "ft2": "foot**2",
}  # fmt: skip
_VOLUME = {
    "L": "liter", "l": "liter", "litre": "liter", "litres": "liter", "mL": "milliliter", "ml": "milliliter",
    "cm3": "centimeter**3", "cc": "centimeter**3", "m3": "meter**3", "in3": "inch**3", "ft3": "foot**3",
    "cu ft": "foot**3", "cuft": "foot**3", "cu in": "inch**3", "dm3": "liter", "ltr": "liter", "ltrs": "liter",
}  # fmt: skip
_TEMPERATURE = {
    "°C": "degree_Celsius", "C": "degree_Celsius", "degC": "degree_Celsius", "K": "kelvin",
    "°F": "degree_Fahrenheit", "F": "degree_Fahrenheit", "degF": "degree_Fahrenheit",
}  # fmt: skip
_FORCE = {
    "N": "newton", "kN": "kilonewton", "lbf": "pound_force", "kgf": "kilogram_force", "kp": "kilogram_force",
    "lb": "pound_force", "lbs": "pound_force",
}  # fmt: skip
_TORQUE = {
    "N m": "newton*meter", "Nm": "newton*meter", "N*m": "newton*meter", "N cm": "newton*centimeter",
    "Ncm": "newton*centimeter", "lbf ft": "pound_force*foot", "ft lbf": "pound_force*foot",
    "ft-lb": "pound_force*foot", "lbf in": "pound_force*inch", "in lbf": "pound_force*inch",
    "in-lb": "pound_force*inch", "kgf cm": "kilogram_force*centimeter", "kgf m": "kilogram_force*meter",
    "lb ft": "pound_force*foot", "lb in": "pound_force*inch", "lbs ft": "pound_force*foot",
    "lbs in": "pound_force*inch", "ft lbs": "pound_force*foot", "in lbs": "pound_force*inch",
    "kg cm": "kilogram_force*centimeter", "kg m": "kilogram_force*meter",
}  # fmt: skip
_FLOW = {"lpm": "liter/minute", "cfm": "foot**3/minute"} | {
    f"{volume}/{time}": f"{name}/{per}"
    for volume, name in _VOLUME.items()
    if " " not in volume
    for time, per in _TIME.items()
    if time in ("s", "min", "h")
}

SPELLINGS: dict[str, dict[str, str]] = {
    "pressure": _PRESSURE,
    "gauge pressure": _PRESSURE,
    "absolute pressure": _PRESSURE,
    "time": _TIME | {"minute": "minute", "minutes": "minute", "second": "second", "seconds": "second",
                     "hour": "hour", "hours": "hour"},
    "length": _LENGTH,
    "area": _AREA,
    "volume": _VOLUME,
    "temperature": _TEMPERATURE,
    "flow": _FLOW,
    "pressure rate": {
        f"{pressure}/{time}": f"{name}/{per}"
        for pressure, name in _PRESSURE.items()
        for time, per in _TIME.items()
    },
    "force": _FORCE,
    "torque": _TORQUE,
    "percent": {"%": "percent", "percent": "percent", "per cent": "percent"},
    "number": {},
}  # fmt: skip
"""Kind of quantity to spelling to unit of pint."""

DEFINITIONS = (
    "kilogram_force_per_square_centimeter = 98066.5 pascal = kgf_per_cm2",
    "millimeter_H2O_conventional = 9.80665 pascal = mmH2O_conventional",
    "inch_H2O_conventional = 249.08891 pascal = inH2O_conventional",
    "foot_H2O_conventional = 2989.06692 pascal = ftH2O_conventional",
    "inch_H2O_at_39F = 249.082 pascal = inH2O_39F",
    "inch_H2O_at_60F = 248.84 pascal = inH2O_60F",
    "metre_sea_water = 1e4 pascal = msw",
    "foot_sea_water = 64 * pound_force / foot ** 2 = fsw",
    "foot_sea_water_33 = standard_atmosphere / 33 = fsw33",
)
"""Units pint lacks: the conventional water columns of NIST SP 811 and the sea-water conventions.

msw: a tenth of a bar. fsw: sea water of 64 lb/ft3. fsw33: 33 feet to one standard atmosphere.
"""

EXAMPLES = {
    "pressure": "9.8 bar", "gauge pressure": "9.8 bar", "absolute pressure": "10.8 bar", "time": "4 min",
    "length": "2.5 mm", "area": "3 mm2", "volume": "12 L", "temperature": "20 °C", "flow": "400 L/min",
    "pressure rate": "0.05 bar/min", "force": "120 N", "torque": "8 N m", "percent": "1.6 %", "number": "12",
}  # fmt: skip
"""What to type, for each kind."""

LABELS = {
    "kilogram_force_per_square_centimeter": "kgf/cm²", "technical_atmosphere": "at", "standard_atmosphere": "atm",
    "millimeter_Hg": "mmHg", "inch_Hg": "inHg", "centimeter_H2O": "cmH2O", "inch_H2O_conventional": "inH2O",
    "foot_H2O_conventional": "ftH2O", "millimeter_H2O_conventional": "mmH2O", "metre_sea_water": "msw",
    "foot_sea_water": "fsw", "foot_sea_water_33": "fsw33", "psi": "psi", "pound_force_per_square_inch": "psi",
    "degree_Celsius": "°C", "degree_Fahrenheit": "°F", "percent": "%", "liter": "L", "dimensionless": "",
    "newton * meter": "N m", "meter * newton": "N m", "centimeter * newton": "N cm", "foot * force_pound": "lbf ft",
    "force_pound * inch": "lbf in", "centimeter * force_kilogram": "kgf cm", "force_kilogram * meter": "kgf m",
}  # fmt: skip
"""How our own sentences write a unit; pint's short form elsewhere."""

NEIGHBOURS = {
    r"mP[aA](?:g|gauge|a|abs)?(?![a-z])": "mPa means thousandths of a pascal. Type MPa for megapascal.",
    r"M[bB]ar": "Mbar means millions of bar. Type mbar for millibar.",
}
"""Beginnings of a pressure, with or without something behind, that are nearly always a slip, and what to say."""

WORDS = {
    "millimetre": "mm", "millimeter": "mm", "centimetre": "cm", "centimeter": "cm", "metre": "m", "meter": "m",
    "inch": "in", "inche": "in", "foot": "ft", "feet": "ft", "litre": "L", "liter": "L", "ltr": "L",
    "minute": "min", "min": "min", "second": "s", "sec": "s", "hour": "h", "hr": "h", "day": "d", "pound": "lb",
    "lb": "lb", "newton": "N", "kilogram": "kg", "force": "f", "mercury": "Hg", "water": "H2O", "column": "", "of": "",
    "celsius": "C", "fahrenheit": "F", "kelvin": "K", "degree": "°", "deg": "°", "square": "sq", "cubic": "cu",
    "percentage": "%", "pct": "%", "sq": "sq", "cu": "cu",
}  # fmt: skip
"""Whole words to symbols, singular."""

ADVICE: dict[str, dict[str, str]] = {
    "pressure": {
        "lb": "a pound is a weight; for pounds per square inch type psi",
        "kg": "a kilogram is a weight; type kgf/cm2",
        "kgf": "a kilogram-force is a force; type kgf/cm2",
        "mb": "type mbar for millibar",
        "ksi": "that is a thousand psi; type psi for pounds per square inch",
        "in": "inches of what? Type inH2O for water, inHg for mercury",
        "mm": "millimetres of what? Type mmH2O for water, mmHg for mercury",
        "cm": "centimetres of what? Type cmH2O for water",
        "ft": "feet of what? Type fsw for sea water",
        "h2o": "how long a column? Type inH2O, cmH2O or mmH2O",
        "wc": "how long a column? Type inH2O, cmH2O or mmH2O",
    },
    "flow": {
        "l/m": "type L/min for litres a minute, L/s for litres a second",
        "lps": "type L/s",
        "lph": "type L/h",
        "l": "a flow needs its time: type L/min",
        "slpm": "that counts litres at standard conditions; type L/min",
        "nl/min": "that counts litres at normal conditions; type L/min",
        "scfm": "that counts cubic feet at standard conditions; type cfm or L/min",
        "gpm": "gallons differ from country to country; type L/min",
    },
    "force": {"kg": "a kilogram is a mass; type kgf, or N", "g": "a gram is a mass; type N"},
    "torque": {"nm/rad": "type N m", "n": "a torque needs its arm too: type N m", "j": "type N m"},
    "time": {"m": "type min for minutes", "'": "type min for minutes", "in": "type s for seconds"},
    "volume": {"gal": "gallons differ from country to country; type L", "barl": "type L"},
    "length": {
        "'": "type ft for feet", "mil": "type mm or in",
        **dict.fromkeys(("u", "mu", "my", "mic", "mikron"), "type um for micrometres"),
    },
    "temperature": {"°": "type °C or °F", "deg": "type °C or °F", "r": "type °C, °F or K"},
    "percent": {"‰": "that is thousandths; type %", "p": "type %"},
    "pressure rate": {"bpm": "type bar/min"},
}  # fmt: skip
"""For each kind what to say of a spelling that stays refused, its letters small and closed up."""
