"""Faults of readings judged together: schedules, film by panel, sides, cylinders, charge, law, air."""

from __future__ import annotations

from jobs.plant_b import GRILLE, READINGS, added, film, instrument, limit, measured, polished, words
from jobs.planting import Edit, both, cell

SHEET = 'source = "data sheet of the clear coat"'
_DURING = {"stage": "during", "step": "020", "zone": "grille", "point": "centre"}
_FLUID = {"using": "B1", "what": "boiling point tester", "zone": "brake-hydraulics", "detail": "DOT 4"}
_ANGLES = {"using": "C1", "what": "spectrophotometer", "zone": "bonnet"}


def settings(text: str) -> Edit:
    return added("job.toml", f"\n[settings]\n{text}\n")


def cure(minutes: str = "20", more: str = SHEET) -> Edit:
    """The second step states a cure at 60 °C."""
    return added(GRILLE, f"\n[cure]\nmetal_temperature_min = 60\nminutes = {minutes}\n{more}\n")


def heat(kind: str = "metal_temperature", what: str = "surface thermometer", *log: tuple[str, str]) -> Edit:
    """A log of that step, ten minutes apart unless given."""
    points = log or (("10:00", "55"), ("10:05", "60"), ("10:15", "62"), ("10:20", "58"))

    def edit(folder):
        if 'id = "T1"' not in folder.path("job.toml").read_text(encoding="utf-8"):
            instrument("T1", what)(folder)
        for clock, value in points:
            folder.add_row(
                READINGS, id=f"{kind}-{clock}", kind=kind, value=value, unit="°C", instrument="T1", by="CD",
                on=f"2026-03-05T{clock}", **_DURING,
            )  # fmt: skip

    return edit


def recoat(text: str) -> Edit:
    return added(GRILLE, f'\n[[recoats]]\ncoat = "clear coat"\nafter = 2026-03-05T09:00:00\n{text}\n{SHEET}\n')


def cylinders(*values: str) -> Edit:
    """Compression at handover, cylinder by cylinder."""

    def edit(folder):
        instrument("K1", "compression gauge")(folder)
        for number, value in enumerate(values, 1):
            folder.add_row(
                READINGS, id=f"K-{number}", stage="handover", zone="engine", kind="compression", unit="bar", by="CD",
                point=f"cylinder {number}", value=value, instrument="K1", on=f"2026-03-20T10:0{number}", detail="warm",
            )  # fmt: skip

    return edit


def fresh(*values: str, nominal: str = "120", **cells: str) -> Edit:
    """Film after the second step, with its nominal thickness."""
    stated = limit("film_nominal", min=nominal, unit='"µm"', source='"data sheets"')
    return both(words(GRILLE, 'zones = ["grille"]', 'zones = ["grille", "bonnet"]'), stated, film("after", *values, **cells))


def colours(*angles: str) -> Edit:
    """The bonnet and its reference at these angles."""

    def edit(folder):
        instrument("C1", "spectrophotometer")(folder)
        for point in ("reference", "centre"):
            for number, angle in enumerate(angles):
                folder.add_row(
                    READINGS, id=f"{point}-{angle}", stage="handover", zone="bonnet", kind="colour_lab", instrument="C1",
                    by="CD", point=f"{point} {angle}", value=f"3{number}.62 -3.41 -22.85", on="2026-03-20T10:00",
                )  # fmt: skip

    return edit


PLANTS: dict[str, Edit] = {
    "readings.schedule-incomplete": both(cure(more=""), heat("metal_temperature", "surface thermometer", ("10:00", "61"), ("10:10", "62"), ("10:20", "61"))),
    "readings.cure-no-log": both(cure(), heat("air_temperature", "thermohygrometer", ("10:00", "38"), ("10:20", "38"))),
    "readings.cure-short": both(cure(), heat()),
    "readings.recoat-early": recoat("began = 2026-03-05T09:14:00\nnot_before_minutes = 15"),
    "readings.recoat-late": recoat("began = 2026-03-06T09:01:00\nnot_before_minutes = 15\nnot_after_hours = 24"),
    "readings.film-acceptance": fresh("125", "131", "118", "122", "97", "127", "121", "133", "120", "124"),
    "readings.film-spots-few": both(settings('film_acceptance = "spots"'), fresh("125", "131", "128", "122")),
    "readings.film-remaining": polished(
        limit("film_removal", max="7.62", unit='"µm"', source='"the maker\'s data sheet"'),
        settings("film_thin_below_um = 60"), film("before", "72", "71", "73"), film("after", "69", "68", "70"),
    ),
    "readings.brake-sides-differ": both(
        measured("pad_lining", "mm", "9.1", using="D2", what="calliper", zone="brake-front-left"),
        measured("pad_lining", "mm", "6.8", using="D2", what="calliper", zone="brake-front-right"),
    ),
    "readings.compression-spread": cylinders("10.8", "10.9", "8.9", "10.7"),
    "readings.leak-down-high": measured("leak_down", "%", "24", using="K2", what="leak down tester", zone="engine"),
    "readings.battery-low": measured("battery_voltage", "V", "12.1", using="V1", what="voltmeter", zone="battery"),
    "readings.charging-voltage": measured("charging_voltage", "V", "15.1", using="V1", what="voltmeter", zone="engine"),
    "readings.colour-angle-missing": both(settings('effect_angles = "15 45 110"'), colours("15", "45")),
    "readings.tread-below-law": both(
        settings('tyre_jurisdiction = "EU"'), limit("tyre_tread", min="1.0", unit='"mm"', source='"the workshop"'),
        measured("tyre_tread", "mm", "1.4", using="D1", what="tread gauge", zone="tyre-front-left"),
    ),
    "readings.lining-below-law": both(
        settings('lining_jurisdiction = "gb"'), limit("pad_lining", min="1.0", unit='"mm"', source='"the workshop"'),
        measured("pad_lining", "mm", "1.4", using="D2", what="calliper", zone="brake-front-left"),
    ),
    "readings.fluid-below-wet": both(
        limit("brake_fluid_boiling_point", min="140", unit='"°C"', source='"the workshop"'),
        measured("brake_fluid_boiling_point", "°C", "148", **_FLUID),
    ),
    "readings.ozone-high": measured("ozone", "ppm", "0.4", using="O1", what="ozone meter", zone="dashboard"),
    "readings.ozone-not-read": words(GRILLE, 'operation = "clean"', 'operation = "clean"\ncautions = ["ozone"]'),
    "readings.carbon-dioxide-high": measured(
        "carbon_dioxide", "ppm", "6200", using="E1", what="carbon dioxide meter", stage="during", step="020",
        zone="grille", on="2026-03-05T10:00",
    ),
    "readings.carbon-dioxide-not-read": words(GRILLE, 'operation = "clean"', 'operation = "clean"\ncautions = ["dry-ice"]'),
    "readings.retorque-not-listed": both(
        words(GRILLE, 'zones = ["grille"]', 'zones = ["grille", "wheel-rear-left"]'),
        words(GRILLE, 'operation = "clean"', 'operation = "refurbish"\ncautions = ["wheels"]'),
        words("job.toml", "due_distance = 50", "due_distance = 10000"),
    ),
    "readings.exception-accepted": both(
        cylinders("10.8", "10.9", "8.9", "10.7"),
        cell(READINGS, "K-3", exception="Rings are due; the client drives it as it is", approval="A1"),
    ),
}  # fmt: skip
