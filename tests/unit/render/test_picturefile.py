"""Pictures appended to the drawn file: each as it is, one object a picture, and clean to another reader."""

from __future__ import annotations

from io import BytesIO

import pikepdf
from PIL import Image
from reportlab.pdfgen.canvas import Canvas

from buildbook.render.pdf.picturefile import append_pictures


def test_each_picture_stands_as_it_is(tmp_path):
    paths = {}
    for number, (mode, size) in enumerate((("RGB", (64, 48)), ("L", (31, 57)), ("RGB", (8, 8)))):
        path = tmp_path / f"{number}.jpg"
        Image.new(mode, size, 90 * number).save(path, "JPEG")
        paths[f"Im{number}"] = path
    out = tmp_path / "pictures.pdf"
    drawn = BytesIO()
    page = Canvas(drawn, invariant=True)
    page.drawString(72, 720, "as drawn")
    page.save()
    numbers = append_pictures(drawn.getvalue(), paths, out)
    assert list(numbers) == list(paths)
    with pikepdf.open(out, access_mode=pikepdf.AccessMode.stream) as pdf:
        assert pdf.get_warnings() == []  # offsets and lengths as the reader found them
        assert len(pdf.pages) == 1
        for name, path in paths.items():
            stream = pdf.get_object(numbers[name], 0)
            assert stream.read_raw_bytes() == path.read_bytes()
            with Image.open(path) as image:
                assert (int(stream.Width), int(stream.Height)) == image.size
                assert str(stream.ColorSpace) == ("/DeviceRGB" if image.mode == "RGB" else "/DeviceGray")
