"""The stated limits of what is read as a picture, and the sizes of renditions. Common practice, no source."""

from __future__ import annotations

MIB = 1 << 20

BYTES_MAX = 200 * MIB
"""A picture file above this is hashed and listed, but not shown."""

PIXELS_MAX = 200_000_000
"""Most pixels of a baseline JPEG, which is decoded at a fraction of its size."""

PIXELS_MAX_WHOLE = 80_000_000
"""Most pixels of a picture that must be held whole (PNG, WebP, TIFF, HEIC, progressive JPEG): up to 640 MB."""

EDGE_MIN = 16
"""A picture with a shorter edge than this (pixels) shows nothing."""

PRINT_EDGE = 1600
"""Long edge (pixels) of the rendition for print."""

SMALL_EDGE = 400
"""Long edge (pixels) of the rendition for contact sheets and screens."""

QUALITY = 85
"""JPEG quality of renditions."""

CHUNK = MIB // 4
"""Bytes read at a time from files that are only hashed."""

WORKERS = 2
"""Processes that read photos, where the caller does not say."""

SECONDS_PER_FILE = 120.0
"""A file that keeps a worker busy longer than this is given up."""

WORKER_MEMORY = 760 * MIB
"""Memory (bytes) a worker may take beyond what it starts with, where the system can hold it to that."""

RENDITION_FORMAT = 4
"""Raise by one whenever the same photo would give other facts or other rendition bytes: all caches are made again."""
