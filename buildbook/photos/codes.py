"""QR codes of marker cards in a picture (ISO/IEC 18004), read with zxing-cpp."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from buildbook.records.card import CODE_MAX, PREFIX

if TYPE_CHECKING:
    from PIL.Image import Image


def card_codes(image: Image) -> tuple[str, ...]:
    """The texts of the cards in a picture, sorted; codes of other kinds are nobody's business and are left out."""
    import zxingcpp

    grey = image.convert("L")
    wanted = zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.QRCode)
    for binarizer in (zxingcpp.Binarizer.LocalAverage, zxingcpp.Binarizer.GlobalHistogram):
        found: list[Any] = zxingcpp.read_barcodes(grey, formats=wanted, binarizer=binarizer, try_invert=False)
        texts = {code.text for code in found if code.text.startswith(f"{PREFIX}:") and len(code.text) <= CODE_MAX}
        if texts:
            return tuple(sorted(texts))
    return ()
