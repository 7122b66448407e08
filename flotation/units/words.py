"""Which spellings of a unit are read, and which are refused because they say too little.

A spelling stands for one unit, named as the unit library names it. Symbols keep their case,
because case carries meaning there ("mW" is no "MW"); words and customary abbreviations do not.
"""

SYMBOLS: dict[str, str] = {
    "mm": "millimeter",
    "cm": "centimeter",
    "m": "meter",
    "km": "kilometer",
    "mL": "milliliter",
    "ml": "milliliter",
    "L": "liter",
    "l": "liter",
    "mg": "milligram",
    "g": "gram",
    "kg": "kilogram",
    "t": "metric_ton",
    "N": "newton",
    "kN": "kilonewton",
    "Pa": "pascal",
    "kPa": "kilopascal",
    "MPa": "megapascal",
    "GPa": "gigapascal",
    "W": "watt",
    "kW": "kilowatt",
    "PS": "metric_horsepower",
    "s": "second",
    "h": "hour",
    "rad": "radian",
    "K": "kelvin",
    "C": "degree_Celsius",
    "F": "degree_Fahrenheit",
    "°C": "degree_Celsius",
    "°F": "degree_Fahrenheit",
    "° C": "degree_Celsius",
    "° F": "degree_Fahrenheit",
    "°": "degree",
    "%": "percent",
    "'": "foot",
    '"': "inch",
}

_NAMES: dict[str, str] = {
    "millimeter": "millimetre millimetres millimeter millimeters",
    "centimeter": "centimetre centimetres centimeter centimeters",
    "meter": "metre metres meter meters",
    "inch": "in inch inches",
    "foot": "ft foot feet",
    "yard": "yd yard yards",
    "milliliter": "millilitre millilitres milliliter milliliters cc",
    "liter": "litre litres liter liters",
    "gram": "gram grams",
    "kilogram": "kilogram kilograms",
    "metric_ton": "tonne tonnes",
    "pound": "lb lbs lbm pound pounds",
    "ounce": "oz ounce ounces",
    "newton": "newton newtons",
    "force_kilogram": "kgf",
    "force_pound": "lbf",
    "bar": "bar",
    "force_pound/inch**2": "psi",
    "force_pound/foot**2": "psf",
    "pound/foot**3": "pcf",
    "watt": "watt watts",
    "kilowatt": "kilowatt kilowatts",
    "horsepower": "hp bhp horsepower",
    "second": "sec second seconds",
    "minute": "min minute minutes",
    "hour": "hr hour hours",
    "degree": "deg degree degrees",
    "radian": "radian radians",
    "degree_Celsius": "degC celsius",
    "degree_Fahrenheit": "degF fahrenheit",
    "kelvin": "kelvin",
    "percent": "percent",
}

_PHRASES: dict[str, str] = {
    "metric ton": "metric_ton",
    "metric tons": "metric_ton",
    "short ton": "short_ton",
    "short tons": "short_ton",
    "us ton": "short_ton",
    "us tons": "short_ton",
    "long ton": "long_ton",
    "long tons": "long_ton",
    "metric hp": "metric_horsepower",
    "deg c": "degree_Celsius",
    "deg f": "degree_Fahrenheit",
    "degrees c": "degree_Celsius",
    "degrees f": "degree_Fahrenheit",
    "per cent": "percent",
}

_MEASURES: tuple[tuple[str, str, str], ...] = (
    ("US_liquid_gallon", "imperial_gallon", "gal gallon gallons"),
    ("US_liquid_quart", "imperial_quart", "qt quart quarts"),
    ("US_pint", "imperial_pint", "pt pint pints"),
    ("US_fluid_ounce", "imperial_fluid_ounce", "fl_oz floz fluid_ounce fluid_ounces"),
)


def _spellings(names: str) -> list[str]:
    return [name.replace("_", " ") for name in names.split()]


def _measure_words() -> dict[str, str]:
    """Liquid measures with the country before or behind: "us gal", "gal us"."""
    found = {}
    for american, british, names in _MEASURES:
        for name in _spellings(names):
            for country, unit in (("us", american), ("imp", british), ("imperial", british)):
                found[f"{country} {name}"] = found[f"{name} {country}"] = unit
    return found


WORDS: dict[str, str] = {
    **{word.casefold(): unit for unit, words in _NAMES.items() for word in words.split()},
    **_PHRASES,
    **_measure_words(),
}

_WHICH_MEASURE = "Say which: {number} US {word} or {number} imperial {word}."

TOO_VAGUE: dict[str, str] = {
    **{name: _WHICH_MEASURE for *_, names in _MEASURES for name in _spellings(names)},
    "ton": (
        "Say which: {number} metric ton (1000 kg), {number} short ton (2000 lb)"
        " or {number} long ton (2240 lb)."
    ),
    "cup": "Write it in US fl oz, in imperial fl oz or in mL.",
    "cups": "Write it in US fl oz, in imperial fl oz or in mL.",
}
TOO_VAGUE["tons"] = TOO_VAGUE["ton"]
