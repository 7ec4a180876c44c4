"""The one table of zones: named places on a vehicle. Left and right are as seen from the driver's seat.

Zone names are trade words (British English, common practice, no source); this list is ours.
"""

from __future__ import annotations

from dataclasses import dataclass

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
    ("whole", "Whole vehicle", "whole", _ALL),
    ("bonnet", "Bonnet", "panel", _CARS),
    ("roof", "Roof", "panel", _CLOSED),
    ("soft-top", "Soft top", "trim", frozenset({Body.CONVERTIBLE})),
    ("boot-lid", "Boot lid", "panel", _BOOT),
    ("tailgate", "Tailgate", "panel", _GATE),
    ("front-panel", "Front panel", "panel", _CARS),
    ("rear-panel", "Rear panel", "panel", _CARS),
    ("grille", "Grille", "trim", _CARS),
    ("bumper-front", "Front bumper", "trim", _CARS),
    ("bumper-rear", "Rear bumper", "trim", _CARS),
    ("brightwork", "Brightwork and badges", "trim", _ALL),
    ("seals", "Door, window and lid seals", "trim", _CARS),
    ("windscreen", "Windscreen", "glass", _ALL),
    ("rear-window", "Rear window", "glass", _CARS),
    ("instruments", "Instruments", "interior", _ALL),
    ("dashboard", "Dashboard", "interior", _CARS),
    ("rear-seat", "Rear seat", "interior", _CARS),
    ("headlining", "Headlining", "interior", _CLOSED),
    ("carpets", "Carpets and floor coverings", "interior", _CARS),
    ("boot", "Boot or load space", "interior", _CARS),
    ("seat", "Seat", "interior", _BIKE),
    ("engine-bay", "Engine bay", "engine", _CARS),
    ("engine", "Engine", "engine", _ALL),
    ("gearbox", "Gearbox and final drive", "engine", _ALL),
    ("cooling", "Cooling system", "engine", _ALL),
    ("exhaust", "Exhaust", "engine", _ALL),
    ("battery", "Battery", "electrical", _ALL),
    ("wiring", "Wiring and electrical fittings", "electrical", _ALL),
    ("fuel-system", "Fuel system", "fuel", _ALL),
    ("steering", "Steering", "steering", _ALL),
    ("brake-hydraulics", "Brake hydraulics", "brake", _ALL),
    ("handbrake", "Handbrake", "brake", _CARS),
    ("seat-belts", "Seat belts and restraints", "restraint", _CARS),
    ("lifting-points", "Jacking and lifting points", "lifting", _CARS),
    ("underside-front", "Underside, front", "underside", _CARS),
    ("underside-centre", "Underside, centre", "underside", _CARS),
    ("underside-rear", "Underside, rear", "underside", _CARS),
    ("bulkhead", "Bulkhead and chassis plate", "structure", _CARS),
    ("tank", "Fuel tank, painted", "panel", _BIKE),
    ("side-cover-left", "Side cover, left", "panel", _BIKE),
    ("side-cover-right", "Side cover, right", "panel", _BIKE),
    ("mudguard-front", "Front mudguard", "panel", _BIKE),
    ("mudguard-rear", "Rear mudguard", "panel", _BIKE),
    ("headlamp", "Headlamp", "lamp", _BIKE),
    ("tail-lamp", "Tail lamp", "lamp", _BIKE),
    ("frame", "Frame", "structure", _BIKE),
    ("fork", "Fork", "suspension", _BIKE),
    ("swinging-arm", "Swinging arm and rear springs", "suspension", _BIKE),
    ("wheel-front", "Front wheel", "wheel", _BIKE),
    ("wheel-rear", "Rear wheel", "wheel", _BIKE),
    ("tyre-front", "Front tyre", "tyre", _BIKE),
    ("tyre-rear", "Rear tyre", "tyre", _BIKE),
    ("brake-front", "Front brake", "brake", _BIKE),
    ("brake-rear", "Rear brake", "brake", _BIKE),
    ("chain", "Drive chain and sprockets", "engine", _BIKE),
    ("tyre-spare", "Spare tyre", "tyre", _CARS),
    ("wheel-spare", "Spare wheel", "wheel", _CARS),
)
# Zones that exist on the left and on the right.
_SIDES: tuple[tuple[str, str, str, _Bodies], ...] = (
    ("wing-front", "Front wing", "panel", _CARS),
    ("wing-rear", "Rear wing", "panel", _CARS),
    ("door-front", "Front door", "panel", _CARS),
    ("door-rear", "Rear door", "panel", _FOUR_DOOR),
    ("sill", "Sill", "panel", _CARS),
    ("pillar", "Windscreen pillar", "panel", _CARS),
    ("glass-front", "Front side window", "glass", _CARS),
    ("glass-rear", "Rear side window", "glass", _CARS),
    ("mirror", "Mirror", "trim", _ALL),
    ("lamp-front", "Front lamp", "lamp", _CARS),
    ("lamp-rear", "Rear lamp", "lamp", _CARS),
    ("seat-front", "Front seat", "interior", _CARS),
    ("door-trim-front", "Front door trim", "interior", _CARS),
    ("door-trim-rear", "Rear door trim", "interior", _FOUR_DOOR),
    ("wheel-front", "Front wheel", "wheel", _CARS),
    ("wheel-rear", "Rear wheel", "wheel", _CARS),
    ("tyre-front", "Front tyre", "tyre", _CARS),
    ("tyre-rear", "Rear tyre", "tyre", _CARS),
    ("brake-front", "Front brake", "brake", _CARS),
    ("brake-rear", "Rear brake", "brake", _CARS),
    ("suspension-front", "Front suspension", "suspension", _CARS),
    ("suspension-rear", "Rear suspension", "suspension", _CARS),
)


def _build() -> tuple[Zone, ...]:
    zones = [Zone(n, t, g, b, g in CRITICAL_GROUPS) for n, t, g, b in _PLAIN]
    for name, title, group, bodies in _SIDES:
        for side in ("left", "right"):
            zones.append(Zone(f"{name}-{side}", f"{title}, {side}", group, bodies, group in CRITICAL_GROUPS))
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
