"""The table of units: symbol printed, pint expression, dimension, and the spellings understood.

Spaces, dots, hyphens and multiplication signs are dropped before a spelling is looked up, so ``N·m``,
``N.m``, ``N-m`` and ``Nm`` are one.
"""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.marking import N_


@dataclass(frozen=True, slots=True)
class UnitRow:
    """One unit. ``affine`` marks scales with a zero of their own (°C, °F)."""

    symbol: str
    expression: str
    dimension: str
    spellings: tuple[str, ...] = ()
    affine: bool = False


def _row(symbol: str, expression: str, dimension: str, *spellings: str, affine: bool = False) -> UnitRow:
    return UnitRow(symbol, expression, dimension, spellings, affine)


#: What units measure, as sentences name it.
DIMENSIONS = (
    N_("plain number"), N_("length"), N_("torque"), N_("pressure"), N_("temperature"), N_("voltage"),
    N_("current"), N_("resistance"), N_("ratio"), N_("gloss"), N_("acidity"), N_("mass"), N_("volume"),
    N_("mass concentration"), N_("surface density"), N_("conductivity"), N_("time"), N_("angle"), N_("frequency"),
    N_("rotational speed"), N_("force"), N_("illuminance"), N_("speed"), N_("area"),
)  # fmt: skip

UNIT_ROWS: tuple[UnitRow, ...] = (
    _row("", "grade_step", "plain number", "1", "grade", "rating", "Ri"),
    # length; a thousandth of an inch is called mil by paint people and thou by engine people
    _row("µm", "micrometer", "length", "um", "micron", "microns", "micrometre", "micrometres", "micrometer"),
    _row("mm", "millimeter", "length", "millimetre", "millimetres", "millimeter"),
    _row("cm", "centimeter", "length", "centimetre", "centimetres", "centimeter"),
    _row("m", "meter", "length", "metre", "metres", "meter"),
    _row("km", "kilometer", "length", "kilometre", "kilometres", "kms", "kilometer"),
    _row("mil", "thou", "length", "mils", "thou"),
    _row("in", "inch", "length", "inch", "inches", '"'),
    _row("1/32 in", "inch_32nd", "length", "32nd", "32nds", "/32", "/32in", '1/32"', "/32nds"),
    _row("ft", "foot", "length", "foot", "feet"),
    _row("mi", "mile", "length", "mile", "miles"),
    # torque
    _row("N·m", "newton * meter", "torque", "Nm", "mN", "newton metre", "newton metres"),
    _row(
        "lbf·ft",
        "force_pound * foot",
        "torque",
        "lb-ft",
        "ft-lb",
        "lbs-ft",
        "ft-lbs",
        "ft-lbf",
        "lbft",
        "pound-foot",
        "pound-feet",
        "foot-pound",
        "foot-pounds",
    ),
    _row(
        "lbf·in",
        "force_pound * inch",
        "torque",
        "lb-in",
        "in-lb",
        "lbs-in",
        "in-lbs",
        "in-lbf",
        "inch-pound",
        "inch-pounds",
        "pound-inch",
        "pound-inches",
    ),
    _row("kgf·m", "force_kilogram * meter", "torque", "kg-m", "m-kg", "mkgf", "mkp", "kpm"),
    _row("kgf·cm", "force_kilogram * centimeter", "torque", "kg-cm", "cm-kg", "cmkgf"),
    # pressure
    _row("Pa", "pascal", "pressure"),
    _row("kPa", "kilopascal", "pressure"),
    _row("MPa", "megapascal", "pressure"),
    _row("bar", "bar", "pressure", "bars"),
    _row("psi", "psi", "pressure", "lbf/in²", "lb/in²", "lbf/in2", "lb/sq in", "psig"),
    _row("kgf/cm²", "force_kilogram / centimeter ** 2", "pressure", "kg/cm²", "kp/cm²"),
    # temperature
    _row("°C", "degree_Celsius", "temperature", "C", "degC", "deg C", "ºC", "celsius", affine=True),
    _row("°F", "degree_Fahrenheit", "temperature", "F", "degF", "deg F", "ºF", "fahrenheit", affine=True),
    _row("K", "kelvin", "temperature", "kelvin", affine=True),
    # electricity
    _row("V", "volt", "voltage", "volt", "volts", "VDC", "V DC"),
    _row("mV", "millivolt", "voltage", "millivolt", "millivolts"),
    _row("A", "ampere", "current", "amp", "amps"),
    _row("mA", "milliampere", "current"),
    _row("Ω", "ohm", "resistance", "ohm", "ohms"),
    _row("kΩ", "kiloohm", "resistance", "kohm", "kohms"),
    # shares of a whole
    _row("%", "percent", "ratio", "percent", "per cent", "pct"),
    _row("ppm", "ppm", "ratio", "ppmv", "parts per million"),
    _row("ppb", "part_per_billion", "ratio", "ppbv", "parts per billion"),
    _row("%RH", "percent", "ratio", "RH", "% r.h.", "%rF", "RH%"),
    # gloss, acidity
    _row("GU", "gloss_unit", "gloss", "gloss units", "gloss unit"),
    _row("pH", "ph_step", "acidity"),
    # amounts and concentrations
    _row("g", "gram", "mass", "gram", "grams", "gramme"),
    _row("kg", "kilogram", "mass", "kilogram", "kilograms"),
    _row("lb", "pound", "mass", "lbs", "pound", "pounds"),
    _row("mL", "milliliter", "volume", "ml", "millilitre", "cc", "cm³"),
    _row("L", "liter", "volume", "l", "litre", "litres", "liter", "dm³"),
    _row("g/L", "gram / liter", "mass concentration", "g/l", "gram per litre"),
    _row("g/m³", "gram / meter ** 3", "mass concentration"),
    _row("mg/m³", "milligram / meter ** 3", "mass concentration"),
    _row("mg/m²", "milligram / meter ** 2", "surface density"),
    _row("µS/cm", "microsiemens / centimeter", "conductivity", "uS/cm"),
    # time, angle, frequency, force, light
    _row("s", "second", "time", "sec", "seconds"),
    _row("min", "minute", "time", "minute", "minutes"),
    _row("h", "hour", "time", "hour", "hours", "hr"),
    _row("d", "day", "time", "day", "days"),
    _row("°", "degree", "angle", "deg", "degrees"),
    _row("Hz", "hertz", "frequency"),
    _row("rpm", "revolutions_per_minute", "rotational speed", "r/min", "1/min", "min⁻¹"),
    _row("N", "newton", "force", "newton"),
    _row("lx", "lux", "illuminance", "lux"),
    _row("m/s", "meter / second", "speed"),
    _row("km/h", "kilometer / hour", "speed", "kph", "kmh"),
    _row("m²", "meter ** 2", "area", "sq m"),
    _row("cm²", "centimeter ** 2", "area", "sq cm"),
    _row("ft²", "foot ** 2", "area", "sq ft"),
)
