"""Cautions: usual hazards of the work, each with what to mind and where the figure comes from.

The wording never promises safety: it names the hazard and defers to the maker's manual, local rules and
licensed practice. Source marks: PUB-A official text, PUB-B maker or handbook, PUB-C secondary page,
MEM from memory, PRAC common practice without source.
"""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.marking import N_

DEFERENCE = N_(
    "The maker's manual, the data sheet of the product, local rules and licensed practice go before "
    "anything printed here."
)


@dataclass(frozen=True, slots=True)
class Caution:
    """name: as written in step.toml. title, text: as printed. source: with its mark and date of collection."""

    name: str
    title: str
    text: str
    source: str


CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "brakes", N_("Brakes"),
        N_(
            "Work by a qualified person. Fluid of the grade the maker names, never reused; glycol fluid strips paint "
            "and irritates, silicone fluid must not be mixed with it. New linings need bedding in. Test before road use."
        ),
        N_("Common practice, no source; fluid: trade pages (PUB-C), collected 2026-11"),
    ),
    Caution(
        "lining-dust", N_("Lining dust"),
        N_(
            "Old linings may hold asbestos. No dry brushing, no open air line; enclosure with HEPA filter or low-pressure "
            "wet method. US limits: 0.1 f/cc over 8 h, 1.0 f/cc over 30 min."
        ),
        N_("OSHA, interpretation of 11 Dec 1995 and App. F (PUB-A), collected 2026-11"),
    ),
    Caution(
        "lifting", N_("Lifting"),
        N_(
            "Rated load of jack and stands never exceeded; lift only at the maker's points; once raised, block at once; "
            "no work under a vehicle held by a jack alone."
        ),
        N_("Washington WAC 296-307-22509 and 296-807-17015 (PUB-A), collected 2026-11"),
    ),
    Caution(
        "wheels", N_("Wheels"),
        N_(
            "Tighten in the maker's order with a torque wrench to the maker's figure; an impact gun alone is no recorded "
            "torque. Check again after about 50 km (30 miles)."
        ),
        N_("A tyre maker's advice (PUB-B) and trade pages (PUB-C), collected 2026-11"),
    ),
    Caution(
        "steering-suspension", N_("Steering and suspension"),
        N_(
            "Springs store energy: use the maker's tool and method. Self-locking fasteners are renewed. Tighten rubber "
            "bushes at ride height. Alignment is checked after the work."
        ),
        N_("Common practice, no source"),
    ),
    Caution(
        "fuel", N_("Fuel"),
        N_(
            "No ignition source, ventilate at floor level, battery off, fire extinguisher at hand. Check every joint for "
            "leaks before and after the first start."
        ),
        N_("Common practice, no source"),
    ),
    Caution(
        "restraints", N_("Belts and airbags"),
        N_(
            "Belts that carried a crash load or show wear are replaced. Airbags and pretensioners: battery off and wait "
            "as the car's manual says (30 s to 10 min by make; 10 min unless the car's own figure is recorded); remove "
            "before heating above 93 °C."
        ),
        N_("Six makers' manuals (PUB-B), collected 2026-11"),
    ),
    Caution(
        "isocyanates", N_("Isocyanates in two-pack paint"),
        N_(
            "Air-fed mask, visor down, in a booth whose clearance time is known and shown. UK limit 0.02 mg/m³ NCO over "
            "8 h, 0.07 over 15 min; EU 6 and 12 µg/m³ (10 and 20 until 31 Dec 2028)."
        ),
        N_("HSE pages on booths (PUB-A), EU text (PUB-A), UK limit (PUB-C), collected 2026-11"),
    ),
    Caution(
        "dry-ice", N_("Dry ice blasting"),
        N_(
            "Carbon dioxide displaces air: ventilate and use a CO2 meter. US limits 5,000 ppm over a shift, 30,000 ppm "
            "short term; 40,000 ppm is immediately dangerous. Frostbite, noise, flying particles."
        ),
        N_("NIOSH (PUB-A, copy), collected 2026-11"),
    ),
    Caution(
        "ozone", N_("Ozone"),
        N_(
            "Nobody inside while the generator runs; air out and measure before anyone enters. US limit 0.1 ppm; "
            "5 ppm is immediately dangerous."
        ),
        N_("OSHA and NIOSH (PUB-A, copy), collected 2026-11"),
    ),
    Caution(
        "heat-lamps", N_("Infrared lamps"),
        N_(
            "Burns, eyes, solvent fire. Watch the metal temperature, not the air; mind plastics and restraint parts."
        ),
        N_("Common practice, no source"),
    ),
    Caution(
        "steam", N_("Steam and pressure washing"),
        N_(
            "Isolate the electrics, keep off connectors, bearings, control units and restraint parts; dry before power."
        ),
        N_("Common practice, no source"),
    ),
    Caution(
        "solvents", N_("Solvents and dust"),
        N_(
            "Ventilate, gloves, respirator suited to the product; no ignition source; waste and rags in closed metal bins."
        ),
        N_("Common practice, no source"),
    ),
    Caution(
        "electrics", N_("Battery and charging"),
        N_(
            "Battery off before work on the wiring; no sparks near a charging battery; acid burns."
        ),
        N_("Common practice, no source"),
    ),
)  # fmt: skip

_BY_NAME = {c.name: c for c in CAUTIONS}

# Which cautions answer which group of safety-critical zones: any one of them is enough for the group.
CAUTIONS_OF_GROUP: dict[str, frozenset[str]] = {
    "brake": frozenset({"brakes"}),
    "steering": frozenset({"steering-suspension"}),
    "suspension": frozenset({"steering-suspension"}),
    "fuel": frozenset({"fuel"}),
    "restraint": frozenset({"restraints"}),
    "lifting": frozenset({"lifting"}),
    "wheel": frozenset({"wheels"}),
}


def caution(name: str) -> Caution | None:
    """The caution of that name, or None."""
    return _BY_NAME.get(name)
