"""The one table of kinds of reading, in the order a dossier lists them.

Source marks: PUB-A regulator or standards body; PUB-B handbook, maker's manual or paper; PUB-C secondary
page; MEM from memory; PRAC common practice, no source; DER arithmetic from a marked value. Bounds are
PRAC unless the scale itself sets them.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Final

from buildbook.marking import N_

from . import cautions
from .kind_model import Judged, Kind, ValueForm, ZoneGroup
from .units import dimension_of

_THICK: Final = ("µm", "mm", "mil")
_SMALL: Final = ("mm", "µm", "in", "mil")
_PAINTED: Final[tuple[ZoneGroup, ...]] = ("panel", "trim", "wheel", "structure", "underside")
_COATED: Final[tuple[ZoneGroup, ...]] = (
    *_PAINTED, "brake", "steering", "suspension", "fuel", "lifting", "engine",
)  # fmt: skip


def _kind(
    name: str,
    title: str,
    units: tuple[str, ...],
    instruments: tuple[str, ...],
    zones: tuple[ZoneGroup, ...],
    judged: Judged,
    source: str,
    *,
    hard: tuple[str | None, str | None] = (None, None),
    typical: tuple[str | None, str | None] = (None, None),
    caution: str | None = None,
    form: ValueForm = "number",
) -> Kind:
    """A row of the table; the first unit is the one computed in, bounds are given in it as text."""

    def number(text: str | None) -> Decimal | None:
        return None if text is None else Decimal(text)

    return Kind(
        name=name, title=title, quantity=dimension_of(units[0]), si_unit=units[0], units=units,
        instruments=instruments, zones=zones, judged=judged, source=source,
        hard_low=number(hard[0]), hard_high=number(hard[1]),
        typical_low=number(typical[0]), typical_high=number(typical[1]), caution=caution, value_form=form,
    )  # fmt: skip


KINDS: tuple[Kind, ...] = (
    # paint and colour
    _kind("film_thickness", N_("Paint film thickness"), _THICK, ("coating_thickness_gauge",), _PAINTED, "range",
          N_("ISO 2808:2019 for the method [PUB-A]; limits are settings of the job [PUB-C, they disagree]"),
          hard=("0", "20000"), typical=("20", "2000")),
    _kind("gloss_20", N_("Gloss at 20°"), ("GU",), ("glossmeter",), _PAINTED, "lower",
          N_("ISO 2813:2014 [PUB-C]; upper bound is the instruments' usual range for bright metal [MEM]"),
          hard=("0", "2000"), typical=("0", "110")),
    _kind("gloss_60", N_("Gloss at 60°"), ("GU",), ("glossmeter",), _PAINTED, "lower",
          N_("ISO 2813:2014 [PUB-C]; upper bound is the instruments' usual range for bright metal [MEM]"),
          hard=("0", "1000"), typical=("0", "110")),
    _kind("gloss_85", N_("Gloss at 85°"), ("GU",), ("glossmeter",), _PAINTED, "lower",
          N_("ISO 2813:2014 [PUB-C]; upper bound is the instruments' usual range for bright metal [MEM]"),
          hard=("0", "199"), typical=("0", "130")),
    _kind("colour_lab", N_("Colour L*a*b*"), ("",), ("spectrophotometer",), _PAINTED, "upper",
          N_("CIEDE2000, ISO/CIE 11664-6 [PUB-B]; the limit is the workshop's setting [PRAC]. "
          "The angle of an effect paint stands in the reading's point, as 15, 45, 110"), form="lab"),
    # coating degradation
    _kind("rust_ri", N_("Rust, ISO 4628-3"), ("",), ("reference_pictures",), _COATED, "grade",
          N_("ISO 4628-3 pictures [PUB-C]"), hard=("0", "5"), form="grade"),
    _kind("rust_d610", N_("Rust, ASTM D610"), ("",), ("reference_pictures",), _COATED, "grade",
          N_("ASTM D610-08(2012) Table 1 [PUB-B copy]; 10 is no rust"), hard=("0", "10"), form="grade"),
    _kind("blistering", N_("Blistering, ISO 4628-2"), ("",), ("reference_pictures",), _COATED, "grade",
          N_("ISO 4628-2:2016 [PUB-C]; notation as in 2(S3) [MEM]"), hard=("0", "5"), form="grade"),
    _kind("blistering_d714", N_("Blistering, ASTM D714"), ("",), ("reference_pictures",), _COATED, "grade",
          N_("ASTM D714 [PUB-B]; 10 is none, 2 the largest blisters"), hard=("2", "10"), form="grade"),
    _kind("cracking", N_("Cracking, ISO 4628-4"), ("",), ("reference_pictures",), _COATED, "grade",
          N_("ISO 4628-4 [MEM]"), hard=("0", "5"), form="grade"),
    _kind("flaking", N_("Flaking, ISO 4628-5"), ("",), ("reference_pictures",), _COATED, "grade",
          N_("ISO 4628-5:2016 [PUB-C]; areas [MEM]"), hard=("0", "5"), form="grade"),
    _kind("chalking", N_("Chalking, ISO 4628-6"), ("",), ("chalking_tape", "reference_pictures"),
          _COATED, "grade", N_("ISO 4628-6 tape method [MEM]"), hard=("0", "5"), form="grade"),
    _kind("cross_cut", N_("Cross-cut adhesion"), ("",), ("cross_cut_tool",), _PAINTED, "grade",
          N_("ISO 2409:2020 [PUB-C]; ASTM D3359 method B as c <-> (5 - c)B [PUB-B]"),
          hard=("0", "5"), form="grade",
          caution=N_("Destroys the paint where it is made: record the spot and its repair. [PRAC]")),
    _kind("panel_gap", N_("Panel gap"), ("mm", "in"), ("feeler_gauge", "calliper", "gap_gauge"),
          ("panel", "glass", "lamp", "trim"), "range",
          N_("the maker's body manual; otherwise the workshop's setting [PRAC]"),
          hard=("0", "60"), typical=("0.5", "20")),
    # climate, curing, air
    _kind("air_temperature", N_("Air temperature"), ("°C", "°F", "K"), ("thermohygrometer",), (), "range",
          N_("the paint's product sheet; dew point after ISO 8502-4 [MEM]"),
          hard=("-40", "65"), typical=("0", "45"), caution=cautions.PAINT),
    _kind("surface_temperature", N_("Surface temperature"), ("°C", "°F", "K"), ("surface_thermometer",), (),
          "lower", N_("at least 3 °C above the dew point, ISO 8502-4 [PUB-C]"),
          hard=("-40", "150"), typical=("0", "60"), caution=cautions.PAINT),
    _kind("relative_humidity", N_("Relative humidity"), ("%RH", "%"), ("thermohygrometer",), (), "upper",
          N_("the paint's product sheet; many stop at 85 % [PUB-C]"),
          hard=("0", "100"), typical=("10", "98"), caution=cautions.PAINT),
    _kind("metal_temperature", N_("Metal temperature while curing"), ("°C", "°F", "K"),
          ("surface_thermometer", "temperature_logger"), (), "lower", N_("the paint's product sheet [PRAC]"),
          hard=("-40", "250"), typical=("-10", "110"), caution=cautions.BAKE),
    _kind("ozone", N_("Ozone in the air"), ("ppm", "ppb"), ("ozone_meter",), ("interior", "whole"), "upper",
          N_("OSHA PEL and NIOSH ceiling 0.1 ppm [PUB-A, copy]"),
          hard=("0", "200"), typical=("0", "20"), caution=cautions.OZONE),
    _kind("carbon_dioxide", N_("Carbon dioxide in the air"), ("ppm", "%"), ("carbon_dioxide_meter",), (), "upper",
          N_("OSHA PEL 5,000 ppm, NIOSH short term 30,000 ppm, IDLH 40,000 ppm [PUB-A, copy]"),
          hard=("0", "1000000"), typical=("300", "100000"), caution=cautions.CARBON_DIOXIDE),
    # brakes
    _kind("disc_thickness", N_("Brake disc thickness"), ("mm", "in"), ("micrometer", "calliper"),
          ("brake", "wheel"), "lower",
          N_("minimum stamped on the disc, 49 CFR 570.59(b) [PUB-A], or the maker's figure"),
          hard=("1", "80"), typical=("4", "45"), caution=cautions.BRAKES),
    _kind("disc_thickness_variation", N_("Disc thickness variation"), _SMALL, ("micrometer",), ("brake", "wheel"),
          "upper", N_("the car's own limit; six makers' manuals run from 0.005 to 0.03 mm [PUB-B]"),
          hard=("0", "2"), typical=("0", "0.2"), caution=cautions.BRAKES),
    _kind("disc_runout", N_("Disc runout"), _SMALL, ("dial_gauge",), ("brake", "wheel"), "upper",
          N_("the car's own limit; makers' manuals run from 0.03 to 0.10 mm [PUB-B]"),
          hard=("0", "5"), typical=("0", "0.5"), caution=cautions.BRAKES),
    _kind("pad_lining", N_("Brake lining thickness"), ("mm", "in", "1/32 in"), ("calliper", "lining_gauge"),
          ("brake", "wheel"), "lower",
          N_("the maker's figure; UK MOT fails below 1.5 mm [PUB-C]; change at 3 mm [PUB-C]"),
          hard=("0", "30"), typical=("0.5", "20"), caution=cautions.LININGS),
    _kind("brake_fluid_boiling_point", N_("Brake fluid boiling point"), ("°C", "°F"), ("boiling_point_tester",),
          ("brake", "engine", "whole"), "lower",
          N_("FMVSS 116 S5.1.2, wet boiling point of the grade [PUB-C; DOT 4 PUB-A]"),
          hard=("60", "400"), typical=("100", "300"), caution=cautions.FLUID),
    # tyres
    _kind("tyre_tread", N_("Tyre tread depth"), ("mm", "in", "1/32 in"), ("tread_gauge",), ("tyre", "wheel"),
          "lower", N_("the chosen jurisdiction's limit; local law decides"),
          hard=("0", "25"), typical=("0.8", "14"), caution=cautions.TYRES),
    _kind("tyre_date_code", N_("Tyre date code"), ("",), ("eye",), ("tyre", "wheel"), "upper",
          N_("49 CFR 574.5: week and year [PUB-A]; age limits are advice [PUB-C]"),
          caution=cautions.TYRES, form="code"),
    # fasteners
    _kind("tightening_torque", N_("Tightening torque"), ("N·m", "lbf·ft", "lbf·in", "kgf·m", "kgf·cm"),
          ("torque_wrench",), (), "range",
          N_("the maker's figure and tolerance; ISO 898-1 for what a bolt bears [PUB-C]"),
          hard=("0", "3000"), typical=("1", "700"), caution=cautions.TORQUE),
    # electrics and engine
    _kind("battery_voltage", N_("Battery voltage at rest"), ("V", "mV"), ("voltmeter",),
          ("electrical", "engine", "whole"), "lower", N_("charge bands of a lead-acid battery [PRAC]"),
          hard=("0", "60"), typical=("4", "30"), caution=cautions.BATTERY),
    _kind("charging_voltage", N_("Charging voltage"), ("V", "mV"), ("voltmeter",),
          ("electrical", "engine", "whole"), "range", N_("the maker's figure; usual bands [PRAC]"),
          hard=("0", "70"), typical=("5", "32"), caution=cautions.BATTERY),
    _kind("compression", N_("Cylinder compression"), ("kPa", "bar", "psi", "kgf/cm²", "MPa"),
          ("compression_gauge",), ("engine",), "range", N_("the maker's figure and greatest spread [PRAC]"),
          hard=("0", "8000"), typical=("300", "4500"), caution=cautions.ENGINE),
    _kind("leak_down", N_("Leak-down"), ("%",), ("leak_down_tester",), ("engine",), "upper",
          N_("the maker's figure; usual bands [PRAC]"),
          hard=("0", "100"), typical=("0", "100"), caution=cautions.ENGINE),
    # distance
    _kind("odometer", N_("Odometer"), ("km", "mi"), ("odometer",), ("interior", "whole"), "trend",
          N_("1 mi = 1.609344 km exactly; statement without tenths, 49 CFR 580.5 [PUB-A]"),
          hard=("0", "5000000"), typical=("0", "1000000"), form="odometer"),
)  # fmt: skip
