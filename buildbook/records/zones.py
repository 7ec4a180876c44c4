"""The one table of zones: named places on a vehicle. Left and right are as seen from the driver's seat.

Zone names are trade words (British English, common practice, no source); this list is ours.
"""

from __future__ import annotations

from dataclasses import dataclass

from buildbook.marking import N_
from buildbook.records.words import Body


@dataclass(frozen=True, slots=True)
class Zone:
    """A place on the vehicle.

    name: as written in tables. title: as printed. group: one of GROUPS. bodies: where it exists.
    critical: work here is safety-critical (a second person checks it).
    """

    name: str
    title: str
    group: str
    bodies: frozenset[Body]
    critical: bool = False


GROUPS = (
    "whole", "panel", "glass", "lamp", "trim", "wheel", "tyre", "brake", "steering", "suspension", "fuel",
    "restraint", "lifting", "engine", "electrical", "structure", "underside", "interior",
)  # fmt: skip
CRITICAL_GROUPS = frozenset({"wheel", "brake", "steering", "suspension", "fuel", "restraint", "lifting"})

_CLOSED = frozenset({Body.SALOON, Body.ESTATE, Body.COUPE, Body.VAN})
_CARS = _CLOSED | {Body.CONVERTIBLE}
_ALL = _CARS | {Body.MOTORCYCLE}
_FOUR_DOOR = frozenset({Body.SALOON, Body.ESTATE})
_BIKE = frozenset({Body.MOTORCYCLE})
_BOOT = frozenset({Body.SALOON, Body.COUPE, Body.CONVERTIBLE})
_GATE = frozenset({Body.ESTATE, Body.VAN})

_Bodies = frozenset[Body]
_PLAIN: tuple[tuple[str, str, str, _Bodies], ...] = (
    ("whole", N_("Whole vehicle"), "whole", _ALL),
    ("bonnet", N_("Bonnet"), "panel", _CARS),
    ("roof", N_("Roof"), "panel", _CLOSED),
    ("soft-top", N_("Soft top"), "trim", frozenset({Body.CONVERTIBLE})),
    ("boot-lid", N_("Boot lid"), "panel", _BOOT),
    ("tailgate", N_("Tailgate"), "panel", _GATE),
    ("front-panel", N_("Front panel"), "panel", _CARS),
    ("rear-panel", N_("Rear panel"), "panel", _CARS),
    ("grille", N_("Grille"), "trim", _CARS),
    ("bumper-front", N_("Front bumper"), "trim", _CARS),
    ("bumper-rear", N_("Rear bumper"), "trim", _CARS),
    ("brightwork", N_("Brightwork and badges"), "trim", _ALL),
    ("seals", N_("Door, window and lid seals"), "trim", _CARS),
    ("windscreen", N_("Windscreen"), "glass", _ALL),
    ("rear-window", N_("Rear window"), "glass", _CARS),
    ("instruments", N_("Instruments"), "interior", _ALL),
    ("dashboard", N_("Dashboard"), "interior", _CARS),
    ("rear-seat", N_("Rear seat"), "interior", _CARS),
    ("headlining", N_("Headlining"), "interior", _CLOSED),
    ("carpets", N_("Carpets and floor coverings"), "interior", _CARS),
    ("boot", N_("Boot or load space"), "interior", _CARS),
    ("seat", N_("Seat"), "interior", _BIKE),
    ("engine-bay", N_("Engine bay"), "engine", _CARS),
    ("engine", N_("Engine"), "engine", _ALL),
    ("gearbox", N_("Gearbox and final drive"), "engine", _ALL),
    ("cooling", N_("Cooling system"), "engine", _ALL),
    ("exhaust", N_("Exhaust"), "engine", _ALL),
    ("battery", N_("Battery"), "electrical", _ALL),
    ("wiring", N_("Wiring and electrical fittings"), "electrical", _ALL),
    ("fuel-system", N_("Fuel system"), "fuel", _ALL),
    ("steering", N_("Steering"), "steering", _ALL),
    ("brake-hydraulics", N_("Brake hydraulics"), "brake", _ALL),
    ("handbrake", N_("Handbrake"), "brake", _CARS),
    ("seat-belts", N_("Seat belts and restraints"), "restraint", _CARS),
    ("lifting-points", N_("Jacking and lifting points"), "lifting", _CARS),
    ("underside-front", N_("Underside, front"), "underside", _CARS),
    ("underside-centre", N_("Underside, centre"), "underside", _CARS),
    ("underside-rear", N_("Underside, rear"), "underside", _CARS),
    ("bulkhead", N_("Bulkhead and chassis plate"), "structure", _CARS),
    ("tank", N_("Fuel tank, painted"), "panel", _BIKE),
    ("side-cover-left", N_("Side cover, left"), "panel", _BIKE),
    ("side-cover-right", N_("Side cover, right"), "panel", _BIKE),
    ("mudguard-front", N_("Front mudguard"), "panel", _BIKE),
    ("mudguard-rear", N_("Rear mudguard"), "panel", _BIKE),
    ("headlamp", N_("Headlamp"), "lamp", _BIKE),
    ("tail-lamp", N_("Tail lamp"), "lamp", _BIKE),
    ("frame", N_("Frame"), "structure", _BIKE),
    ("fork", N_("Fork"), "suspension", _BIKE),
    ("swinging-arm", N_("Swinging arm and rear springs"), "suspension", _BIKE),
    ("wheel-front", N_("Front wheel"), "wheel", _BIKE),
    ("wheel-rear", N_("Rear wheel"), "wheel", _BIKE),
    ("tyre-front", N_("Front tyre"), "tyre", _BIKE),
    ("tyre-rear", N_("Rear tyre"), "tyre", _BIKE),
    ("brake-front", N_("Front brake"), "brake", _BIKE),
    ("brake-rear", N_("Rear brake"), "brake", _BIKE),
    ("chain", N_("Drive chain and sprockets"), "engine", _BIKE),
    ("tyre-spare", N_("Spare tyre"), "tyre", _CARS),
    ("wheel-spare", N_("Spare wheel"), "wheel", _CARS),
)
# Zones that exist on the left and on the right.
_SIDES: tuple[tuple[str, str, str, str, _Bodies], ...] = (
    ("wing-front", N_("Front wing, left"), N_("Front wing, right"), "panel", _CARS),
    ("wing-rear", N_("Rear wing, left"), N_("Rear wing, right"), "panel", _CARS),
    ("door-front", N_("Front door, left"), N_("Front door, right"), "panel", _CARS),
    ("door-rear", N_("Rear door, left"), N_("Rear door, right"), "panel", _FOUR_DOOR),
    ("sill", N_("Sill, left"), N_("Sill, right"), "panel", _CARS),
    ("pillar", N_("Windscreen pillar, left"), N_("Windscreen pillar, right"), "panel", _CARS),
    ("glass-front", N_("Front side window, left"), N_("Front side window, right"), "glass", _CARS),
    ("glass-rear", N_("Rear side window, left"), N_("Rear side window, right"), "glass", _CARS),
    ("mirror", N_("Mirror, left"), N_("Mirror, right"), "trim", _ALL),
    ("lamp-front", N_("Front lamp, left"), N_("Front lamp, right"), "lamp", _CARS),
    ("lamp-rear", N_("Rear lamp, left"), N_("Rear lamp, right"), "lamp", _CARS),
    ("seat-front", N_("Front seat, left"), N_("Front seat, right"), "interior", _CARS),
    ("door-trim-front", N_("Front door trim, left"), N_("Front door trim, right"), "interior", _CARS),
    ("door-trim-rear", N_("Rear door trim, left"), N_("Rear door trim, right"), "interior", _FOUR_DOOR),
    ("wheel-front", N_("Front wheel, left"), N_("Front wheel, right"), "wheel", _CARS),
    ("wheel-rear", N_("Rear wheel, left"), N_("Rear wheel, right"), "wheel", _CARS),
    ("tyre-front", N_("Front tyre, left"), N_("Front tyre, right"), "tyre", _CARS),
    ("tyre-rear", N_("Rear tyre, left"), N_("Rear tyre, right"), "tyre", _CARS),
    ("brake-front", N_("Front brake, left"), N_("Front brake, right"), "brake", _CARS),
    ("brake-rear", N_("Rear brake, left"), N_("Rear brake, right"), "brake", _CARS),
    ("suspension-front", N_("Front suspension, left"), N_("Front suspension, right"), "suspension", _CARS),
    ("suspension-rear", N_("Rear suspension, left"), N_("Rear suspension, right"), "suspension", _CARS),
)


def _build() -> tuple[Zone, ...]:
    zones = [Zone(n, t, g, b, g in CRITICAL_GROUPS) for n, t, g, b in _PLAIN]
    for name, left, right, group, bodies in _SIDES:
        for side, title in (("left", left), ("right", right)):
            zones.append(Zone(f"{name}-{side}", title, group, bodies, group in CRITICAL_GROUPS))
    return tuple(zones)


ZONES: tuple[Zone, ...] = _build()
_BY_NAME: dict[str, Zone] = {z.name: z for z in ZONES}


def zone(name: str) -> Zone | None:
    """The zone of that name, or None."""
    return _BY_NAME.get(name)


def zone_title(name: str) -> str:
    """The printed title of a zone; an unknown name is printed as written."""
    found = _BY_NAME.get(name)
    return found.title if found else name


def zones_of(body: Body) -> tuple[Zone, ...]:
    """The zones that a vehicle of this body has, in table order."""
    return tuple(z for z in ZONES if body in z.bodies)


def near_names(name: str, most: int = 3) -> list[str]:
    """Zone names that look like `name`, for remedies."""
    from difflib import get_close_matches

    return get_close_matches(name, list(_BY_NAME), n=most, cutoff=0.5)
