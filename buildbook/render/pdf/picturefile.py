"""Pictures appended to the drawn file, one at a time, so that no more than one is ever in memory.

It is an incremental update as ISO 32000-1, 7.5.6 has it: objects, a table of them, a trailer that names the table
before. The library reads a stream of an opened file only when it saves.
"""

from __future__ import annotations

from collections.abc import Mapping
from io import BytesIO
from pathlib import Path

import pikepdf

from buildbook.render.jpeg import jpeg_size


def append_pictures(drawn: bytes, paths: Mapping[str, Path], out: Path) -> dict[str, int]:
    """Write the PDF `drawn` and the JPEG files of `paths` to `out`. Name -> number of the image object."""
    with pikepdf.open(BytesIO(drawn)) as pdf:
        first = int(pdf.trailer.Size)
        root = pdf.trailer.Root.objgen[0]
    before = int(drawn[drawn.rindex(b"startxref") :].split()[1])
    offsets = []
    with out.open("xb") as file:
        file.write(drawn + b"\n")
        for number, (name, path) in enumerate(paths.items(), first):
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
        lines = [f"xref\n{first} {len(offsets)}\n", *(f"{offset:010d} 00000 n \n" for offset in offsets)]
        lines.append(f"trailer\n<< /Size {first + len(offsets)} /Root {root} 0 R /Prev {before} >>\n")
        lines.append(f"startxref\n{table}\n%%EOF\n")
        file.write("".join(lines).encode("ascii"))
    return {name: number for number, name in enumerate(paths, first)}
