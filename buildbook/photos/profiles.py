"""ICC profiles made from published numbers, for pictures that name their colour space without carrying a profile."""

from __future__ import annotations

import struct
from collections.abc import Sequence
from functools import lru_cache

Xyz = tuple[float, float, float]

_D50: Xyz = (0.9642, 1.0, 0.8249)  # the profile connection space's white, ICC.1:2001-04 section 6.1.1


def matrix_profile(name: str, red: Xyz, green: Xyz, blue: Xyz, curve: Sequence[int]) -> bytes:
    """An ICC version 2 display profile (ICC.1:2001-04) of three primaries and one tone curve.

    red, green, blue: XYZ relative to D50. curve: one u8Fixed8 exponent (563 is 2.2), or samples of 0 to 65535.
    """
    text = name.encode("ascii") + b"\0"
    description = b"desc" + bytes(4) + struct.pack(">I", len(text)) + text + bytes(8) + bytes(3 + 67)
    tones = b"curv" + bytes(4) + struct.pack(f">I{len(curve)}H", len(curve), *curve)
    blocks = {
        b"desc": description,
        b"cprt": b"text" + bytes(4) + b"No copyright.\0",
        b"wtpt": _xyz(_D50),
        b"rXYZ": _xyz(red),
        b"gXYZ": _xyz(green),
        b"bXYZ": _xyz(blue),
        b"rTRC": tones,
        b"gTRC": tones,
        b"bTRC": tones,
    }
    at = 128 + 4 + 12 * len(blocks)
    table, body = struct.pack(">I", len(blocks)), b""
    for signature, block in blocks.items():
        table += signature + struct.pack(">II", at + len(body), len(block))
        body += block + bytes(-len(block) % 4)
    header = struct.pack(
        ">I4sI4s4s4s12s4s4sIIIQI12s48x",
        *(at + len(body), b"", 0x02400000, b"mntr", b"RGB ", b"XYZ ", bytes(12), b"acsp", b"", 0, 0, 0, 0, 0),
        _xyz(_D50)[8:],
    )
    return header + table + body


def _xyz(value: Xyz) -> bytes:
    return b"XYZ " + bytes(4) + struct.pack(">3i", *(round(v * 65536) for v in value))


@lru_cache(maxsize=1)
def adobe_rgb() -> bytes:
    """Adobe RGB (1998) Color Image Encoding, version 2005-05: primaries and exponent of its ICC profile, annex A."""
    return matrix_profile(
        "Adobe RGB (1998)",
        (0.60974, 0.31111, 0.01947),
        (0.20528, 0.62567, 0.06087),
        (0.14919, 0.06322, 0.74457),
        (563,),
    )
