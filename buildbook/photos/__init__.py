"""Photos and files of a job: hash, EXIF, orientation, renditions. The only place that knows Pillow and piexif."""

from buildbook.photos.files import hash_file
from buildbook.photos.library import Edge, Library, Progress, Surveyed

__all__ = ["Edge", "Library", "Progress", "Surveyed", "hash_file"]
