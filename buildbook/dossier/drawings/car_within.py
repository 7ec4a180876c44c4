"""What lies inside and under a car, as simple shapes seen from above: drawn only where a step worked."""

from __future__ import annotations

from buildbook.dossier.drawings.car_measures import Car
from buildbook.dossier.drawings.shapes import Shape, ring, rounded, tube


def within(car: Car) -> list[tuple[str, Shape]]:
    """Zone and shape, in the car's own millimetres."""
    bonnet_end, screen_end, roof_end, _glass_end = car.deck
    end = car.length

    def block(x0: float, y0: float, x1: float, y1: float, r: float = 40) -> Shape:
        return rounded((x0, y0, r), (x1, y0, r), (x1, y1, r), (x0, y1, r))

    bay = block(260, -470, bonnet_end - 90, 470, 60)
    fore = screen_end - 40
    seat = min(560.0, (roof_end - fore) * 0.4)
    found: list[tuple[str, Shape]] = [(name, bay) for name in ("engine-bay", "engine", "cooling")]
    found += [("bulkhead", block(bonnet_end - 110, -520, bonnet_end - 50, 520, 20))]
    found += [("battery", block(bonnet_end - 330, 300, bonnet_end - 130, 460, 20))]
    found += [(name, block(fore - 250, -560, fore - 110, 560, 40)) for name in ("dashboard", "instruments")]
    found += [("steering", ring(fore - 60, 300, 150))]
    for side, sign in (("left", 1), ("right", -1)):
        y = sign * 320
        found.append((f"seat-front-{side}", block(fore + 130, y - 210, fore + 130 + seat, y + 210, 70)))
        for place, x in (("front", car.doors[0] + 200), ("rear", car.doors[min(1, len(car.doors) - 1)] + 120)):
            found.append((f"door-trim-{place}-{side}", block(x, sign * 640 - 30, x + 520, sign * 640 + 30, 20)))
    rear = fore + 130 + seat + 110
    if car.panel_top is None:
        found.append(("rear-seat", block(rear, -540, min(rear + 420, end - 700), 540, 70)))
    cabin = block(fore - 20, -500, min(roof_end, fore + 1500), 500, 60)
    found += [(name, cabin) for name in ("carpets", "headlining", "seat-belts")]
    found.append(("boot", block(max(roof_end, rear + 480) if not car.gate else rear + 500, -470, end - 190, 470, 60)))
    thirds = (200.0, end / 3, 2 * end / 3, end - 160)
    for n, place in enumerate(("front", "centre", "rear")):
        found.append((f"underside-{place}", block(thirds[n] + 30, -640, thirds[n + 1] - 30, 640, 60)))
    found.append(("gearbox", block(bonnet_end - 60, -150, bonnet_end + 620, 150, 60)))
    found.append(("exhaust", block(bonnet_end, 330, end - 60, 390, 28)))
    found.append(("fuel-system", block(end - 1000, -420, end - 420, 420, 70)))
    axles = (car.front_axle, car.rear_axle)
    pipes = tube([(axles[0], -560), (axles[0], 560)], 46) + tube([(axles[1], -560), (axles[1], 560)], 46)
    found.append(("brake-hydraulics", pipes + tube([(axles[0], -120), (axles[1], -120)], 46)))
    found.append(("wiring", tube([(300, 0), (bonnet_end, 0), (bonnet_end, 240), (end - 160, 240)], 46)))
    found.append(("handbrake", block(fore + 250, -60, fore + 560, 60, 30)))
    for side, sign in (("left", 1), ("right", -1)):
        for place, x in (("front", car.front_axle), ("rear", car.rear_axle)):
            y = sign * 480
            found.append((f"suspension-{place}-{side}", block(x - 190, y - 110, x + 190, y + 110, 50)))
    found += [
        ("lifting-points", ring(x, y, 70)) for x in (car.front_axle + 480, car.rear_axle - 480) for y in (-660, 660)
    ]
    spare = ring(end - 520, 0, 270)
    found += [("wheel-spare", ring(end - 520, 0, 180)), ("tyre-spare", spare)]
    return found
