"""The file pictures wait in: each as it is, one object a picture, and clean to another reader."""

from __future__ import annotations

import pikepdf
from PIL import Image

from buildbook.render.pdf.picturefile import FIRST, write_pictures


def test_each_picture_stands_as_it_is(tmp_path):
    paths = {}
    for number, (mode, size) in enumerate((("RGB", (64, 48)), ("L", (31, 57)), ("RGB", (8, 8)))):
        path = tmp_path / f"{number}.jpg"
        Image.new(mode, size, 90 * number).save(path, "JPEG")
        paths[f"Im{number}"] = path
    out = tmp_path / "pictures.pdf"
    write_pictures(paths, out)
    with pikepdf.open(out, access_mode=pikepdf.AccessMode.stream) as pdf:
        assert pdf.get_warnings() == []  # offsets and lengths as the reader found them
        for number, path in enumerate(paths.values(), FIRST):
            stream = pdf.get_object(number, 0)
            assert stream.read_raw_bytes() == path.read_bytes()
            with Image.open(path) as image:
                assert (int(stream.Width), int(stream.Height)) == image.size
                assert str(stream.ColorSpace) == ("/DeviceRGB" if image.mode == "RGB" else "/DeviceGray")
