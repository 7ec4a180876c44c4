"""The bodies: measures of five imagined cars of the 1960s and 1970s, and a motorcycle, unfolded once each."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from buildbook.dossier.drawings.car import unfold
from buildbook.dossier.drawings.car_measures import Car
from buildbook.dossier.drawings.motorcycle import motorcycle
from buildbook.dossier.drawings.outline import Outline
from buildbook.records.words import Body
from buildbook.records.zones import zones_of

_SALOON = Car(
    length=4300, height=1420, front_axle=790, rear_axle=3330,
    shoulder=((118, 770), (240, 812), (700, 862), (1390, 905), (2300, 918), (3200, 908), (3900, 876), (4242, 830)),
    doors=(1395, 2315, 3195),
    house=((1330, 880, 30), (1800, 1395, 210), (2400, 1432, 500), (3040, 1390, 330), (3620, 860, 60)),
    windows=(
        ("glass-front-{side}", ((1550, 934, 24), (1842, 1338, 60), (2282, 1352, 22), (2282, 934, 22))),
        ("glass-rear-{side}", ((2350, 934, 22), (2350, 1352, 22), (2900, 1330, 70), (3085, 1060, 40), (3105, 934, 24))),
    ),
    pillar=((1366, 900, 6), (1668, 1236, 14), (1722, 1254, 14), (1508, 912, 6)),
    quarter=((3136, 902), (3116, 1062, 40), (2962, 1290, 44), (3004, 1326, 8), (3150, 1264, 60), (3284, 1160, 40),
             (3590, 878)),
    deck=(1330, 1800, 2990, 3440),
)  # fmt: skip

_ESTATE = Car(
    length=4300, height=1435, front_axle=790, rear_axle=3330,
    shoulder=((118, 770), (240, 812), (700, 862), (1390, 905), (2300, 918), (3200, 914), (3900, 908), (4236, 900)),
    doors=(1395, 2315, 3195),
    house=((1330, 880, 30), (1800, 1400, 210), (2600, 1446, 600), (3960, 1412, 130), (4228, 880, 30)),
    windows=(
        ("glass-front-{side}", ((1550, 934, 24), (1842, 1342, 60), (2282, 1356, 22), (2282, 934, 22))),
        ("glass-rear-{side}", ((2350, 934, 22), (2350, 1358, 22), (3040, 1356, 22), (3112, 1080, 30), (3120, 934, 24))),
        ("glass-rear-{side}", ((3186, 934, 22), (3110, 1352, 24), (3850, 1338, 50), (3936, 934, 24))),
    ),
    pillar=((1366, 900, 6), (1668, 1238, 14), (1722, 1256, 14), (1508, 912, 6)),
    quarter=((3966, 906), (3882, 1340, 30), (3896, 1396, 8), (3966, 1380, 40), (4018, 1290, 30), (4214, 900)),
    deck=(1330, 1800, 3940, 4180), gate=True,
)  # fmt: skip

_COUPE = Car(
    length=4120, height=1310, front_axle=770, rear_axle=3170,
    shoulder=((118, 730), (240, 775), (700, 835), (1420, 880), (2200, 890), (2900, 900), (3600, 866), (4062, 800)),
    doors=(1425, 2560),
    house=((1350, 860, 30), (1890, 1290, 220), (2300, 1318, 400), (2640, 1280, 260), (3560, 850, 80)),
    windows=(
        ("glass-front-{side}", ((1600, 908, 24), (1925, 1236, 60), (2440, 1246, 22), (2500, 908, 22))),
        ("glass-rear-{side}", ((2562, 912, 22), (2502, 1244, 22), (2690, 1212, 60), (2960, 1000, 30), (2952, 914, 24))),
    ),
    pillar=((1390, 880, 6), (1726, 1150, 14), (1790, 1164, 14), (1552, 888, 6)),
    quarter=((2986, 894), (2996, 1002, 36), (2724, 1210, 46), (2748, 1238, 8), (2875, 1164, 60), (3520, 866)),
    deck=(1360, 1880, 2600, 3400), rear_top=820,
)  # fmt: skip

_CONVERTIBLE = Car(
    length=4120, height=1300, front_axle=770, rear_axle=3170,
    shoulder=((118, 730), (240, 775), (700, 835), (1420, 880), (2200, 884), (2900, 890), (3600, 860), (4062, 800)),
    doors=(1425, 2560),
    house=((1350, 860, 30), (1880, 1268, 90), (2350, 1306, 360), (2800, 1262, 220), (3260, 850, 70)),
    windows=(
        ("glass-front-{side}", ((1600, 906, 24), (1900, 1212, 40), (2440, 1226, 22), (2490, 906, 22))),
        ("glass-rear-{side}", ((2552, 908, 22), (2504, 1226, 22), (2700, 1204, 40), (2800, 910, 26))),
    ),
    pillar=((1390, 880, 6), (1812, 1206, 14), (1862, 1206, 14), (1552, 888, 6)),
    deck=(1360, 1870, 2830, 3200), roof_zone="soft-top", rear_top=820,
)  # fmt: skip

_VAN = Car(
    length=4420, height=1950, front_axle=640, rear_axle=3420,
    shoulder=((110, 770), (230, 850), (560, 935), (960, 1010), (2000, 1030), (3200, 1030), (4366, 1020)),
    doors=(1010, 2010),
    house=((760, 960, 30), (1230, 1800, 220), (1560, 1952, 260), (4330, 1940, 110), (4372, 940, 30)),
    windows=(
        ("glass-front-{side}", ((1120, 1056, 26), (1390, 1690, 60), (1930, 1716, 40), (1930, 1056, 26))),
        ("glass-rear-{side}", ((2180, 1090, 40), (2180, 1690, 40), (3040, 1690, 40), (3040, 1090, 40))),
    ),
    pillar=((838, 978, 6), (1128, 1600, 20), (1214, 1640, 20), (1052, 1010, 6)),
    deck=(800, 1270, 4290, 4400), gate=True, panel_top=1850,
    plan_edge=((84, 570), (170, 690), (460, 770), (1000, 808), (1600, 815), (3000, 815), (4200, 806), (4340, 780),
               (4376, 700)),
)  # fmt: skip

_CARS = {
    Body.SALOON: _SALOON,
    Body.ESTATE: _ESTATE,
    Body.COUPE: _COUPE,
    Body.CONVERTIBLE: _CONVERTIBLE,
    Body.VAN: _VAN,
}


@cache
def outline(body: Body) -> Outline:
    """The unfolded body, with shapes only for zones a vehicle of that body has."""
    made = motorcycle() if body is Body.MOTORCYCLE else unfold(_CARS[body])
    names = {"", *(z.name for z in zones_of(body))}
    return replace(made, parts=tuple(p for p in made.parts if p.zone in names))
