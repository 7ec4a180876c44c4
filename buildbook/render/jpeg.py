"""What a renderer must know of a rendition before it places or copies its bytes."""

from __future__ import annotations

from pathlib import Path

from reportlab.pdfbase.pdfutils import readJPEGInfo

from buildbook.errors import BuildbookError


def jpeg_size(path: Path, label: str) -> tuple[int, int, int]:
    """Width, height and number of colour components of a JPEG rendition."""
    try:
        with path.open("rb") as file:
            width, height, colours, *_ = readJPEGInfo(file)
    except Exception as fault:
        raise BuildbookError(
            f"The rendition of {label} cannot be read as JPEG.", "Delete the cache of renditions and compile again."
        ) from fault
    if colours not in (1, 3) or width < 1 or height < 1:
        raise BuildbookError(
            f"The rendition of {label} is neither RGB nor grey.", "Delete the cache of renditions and compile again."
        )
    return int(width), int(height), int(colours)
