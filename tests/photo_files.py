"""Small picture files for tests."""

from __future__ import annotations

import io
import os
from pathlib import Path

from PIL import Image

OLD_NS = 1_700_000_000 * 10**9


def jpeg(colour: str = "teal", size: tuple[int, int] = (640, 480), **options: bytes) -> bytes:
    """A JPEG without symmetry; options as for Pillow's writer."""
    out = io.BytesIO()
    image = Image.linear_gradient("L").resize(size).convert("RGB")
    image.paste(colour, (0, 0, size[0] // 3, size[1] // 2))
    image.save(out, "JPEG", quality=90, **options)
    return out.getvalue()


def put(root: Path, name: str, data: bytes) -> str:
    """Write a file that was last changed long ago; returns its name."""
    path = root / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)
    os.utime(path, ns=(OLD_NS, OLD_NS))
    return name
