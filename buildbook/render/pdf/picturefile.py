"""A PDF that holds nothing but pictures, written a picture at a time, so that no more than one is ever in memory.

The file of the dossier takes them from there: the library copies a stream of another file only when it saves.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from buildbook.render.pdf.pictures import jpeg_size

FIRST = 3  # object number of the first picture; 1 and 2 are the catalogue and its empty tree of pages


def write_pictures(paths: Mapping[str, Path], out: Path) -> None:
    """Write the JPEG files of `paths` into `out` as image objects FIRST, FIRST + 1 ... in their order."""
    offsets = []
    with out.open("xb") as file:
        file.write(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
        offsets.append(file.tell())
        file.write(b"1 0 obj\n<< /Type /Catalog /Pages 2 0 R >>\nendobj\n")
        offsets.append(file.tell())
        file.write(b"2 0 obj\n<< /Type /Pages /Kids [] /Count 0 >>\nendobj\n")
        for number, (name, path) in enumerate(paths.items(), FIRST):
            width, height, colours = jpeg_size(path, name)
            data = path.read_bytes()
            offsets.append(file.tell())
            space = "DeviceRGB" if colours == 3 else "DeviceGray"
            head = (
                f"{number} 0 obj\n<< /Type /XObject /Subtype /Image /Width {width} /Height {height} "
                f"/ColorSpace /{space} /BitsPerComponent 8 /Filter /DCTDecode /Length {len(data)} >>\nstream\n"
            )
            file.write(head.encode("ascii"))
            file.write(data)
            file.write(b"\nendstream\nendobj\n")
        table = file.tell()
        file.write(f"xref\n0 {len(offsets) + 1}\n0000000000 65535 f \n".encode("ascii"))
        for offset in offsets:
            file.write(f"{offset:010d} 00000 n \n".encode("ascii"))
        file.write(f"trailer\n<< /Size {len(offsets) + 1} /Root 1 0 R >>\nstartxref\n{table}\n%%EOF\n".encode("ascii"))
