"""A look at an EXIF block's directories before a reader trusts their counts.

A damaged count makes a reader ask for gigabytes, or read the same bytes thousands of times over.
"""

from __future__ import annotations

import struct

_SIZES = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8}  # TIFF 6.0, section 2
_POINTERS = frozenset({0x8769, 0x8825, 0xA005})
_HEADER = b"Exif\0\0"


def plausible(block: bytes) -> bool:
    """True if no directory of the block promises more data than the block can hold. block: with its header."""
    tiff = block[len(_HEADER) :]
    order = {b"II": "<", b"MM": ">"}.get(tiff[:2])
    if order is None:
        return False
    promised, seen = 0, set()
    try:
        (first,) = struct.unpack_from(f"{order}I", tiff, 4)
        waiting = [first]
        while waiting:
            at = waiting.pop()
            if at == 0 or at in seen:
                continue
            seen.add(at)
            (entries,) = struct.unpack_from(f"{order}H", tiff, at)
            for n in range(entries):
                tag, kind, count, value = struct.unpack_from(f"{order}HHII", tiff, at + 2 + 12 * n)
                promised += count * _SIZES.get(kind, 1)
                if tag in _POINTERS:
                    waiting.append(value)
            if promised > 2 * len(tiff):
                return False
            if at == first:
                waiting.extend(struct.unpack_from(f"{order}I", tiff, at + 2 + 12 * entries))
    except struct.error:
        return False
    return True
