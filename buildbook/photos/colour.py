"""Any picture's colours to sRGB, alpha on white. ICC.1 profiles through LittleCMS (Pillow's ImageCms)."""

from __future__ import annotations

import io
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from buildbook.records.said import said

if TYPE_CHECKING:
    from PIL.Image import Image


class Unshowable(ValueError):
    """The picture cannot be shown: its text is a short sentence."""

    def __init__(self, says: str) -> None:
        super().__init__(says)
        self.says = says


_NEAR = 3  # of 255: what published sRGB profiles differ from one another
_SPACE_OF_MODE = {"RGB": "RGB", "RGBA": "RGB", "L": "GRAY", "LA": "GRAY", "CMYK": "CMYK", "LAB": "Lab"}


def resizable(image: Image) -> Image:
    """The picture in a mode that can be shrunk and colour-managed: L, LA, RGB, RGBA, CMYK, LAB or I."""
    mode = image.mode
    if mode in ("RGB", "L", "RGBA") and "transparency" in image.info:
        return image.convert("RGBA")
    if mode in _SPACE_OF_MODE:
        return image
    if mode == "1":
        return image.convert("L")
    if mode in ("P", "PA"):
        return image.convert("RGBA" if mode == "PA" or "transparency" in image.info else "RGB")
    if mode.startswith("I"):
        return image.convert("I")
    if mode == "F":
        raise Unshowable(said("The picture holds floating-point values; save it with 8 or 16 bits a channel."))
    return image.convert("RGB")  # YCbCr, HSV, RGBX, premultiplied kinds


def to_srgb(image: Image, icc: bytes | None) -> Image:
    """An RGB picture in sRGB, on white where it was transparent. `image` as from `resizable`; icc: its profile."""
    from PIL import Image as images

    if image.mode == "I":  # 16 bits: the upper byte
        image = image.point(lambda v: v * (1 / 256)).convert("L")
    mask = image.getchannel("A") if image.mode in ("RGBA", "LA") else None
    if image.mode == "RGBA":
        image = image.convert("RGB")
    elif image.mode == "LA":
        image = image.convert("L")
    image = _managed(image, icc)
    if mask is not None:
        ground = images.new("RGB", image.size, "white")
        ground.paste(image, mask=mask)
        return ground
    return image


def _managed(image: Image, icc: bytes | None) -> Image:
    from PIL import ImageCms

    found = _profile(icc) if icc else None
    if icc and found is not None:
        space, is_srgb, _ = found
        if image.mode == "L" and space == "RGB":
            image = image.convert("RGB")
        if _SPACE_OF_MODE[image.mode] == space and not is_srgb:
            try:
                managed = ImageCms.applyTransform(image, _transform(icc, image.mode))
            except (ImageCms.PyCMSError, ValueError, TypeError, OSError):
                managed = None  # a profile that cannot be used is as good as none
            if managed is not None:
                return managed
    if image.mode == "LAB":
        lab = ImageCms.createProfile("LAB")
        return _applied(image, ImageCms.buildTransform(lab, _srgb(), "LAB", "RGB"))
    return image if image.mode == "RGB" else image.convert("RGB")


def _applied(image: Image, transform: Any) -> Image:
    from PIL import ImageCms

    managed = ImageCms.applyTransform(image, transform)
    assert managed is not None
    return managed


@lru_cache(maxsize=16)
def _profile(icc: bytes) -> tuple[str, bool, Any] | None:
    """(colour space, is it sRGB, profile), or None if the bytes are no profile."""
    from PIL import ImageCms

    try:
        profile = ImageCms.ImageCmsProfile(io.BytesIO(icc))
        space = profile.profile.xcolor_space.strip()
        return space, space == "RGB" and _is_srgb(profile), profile
    except Exception:  # PyCMSError, OSError, ValueError: whatever damaged bytes lead to
        return None


def _is_srgb(profile: Any) -> bool:
    """Whether a profile leaves a ramp of greys and of each primary as it is: by what it does, not by its name."""
    from PIL import Image as images
    from PIL import ImageCms

    levels = range(0, 256, 15)
    colours = [tuple(v * m for m in mix) for mix in ((1, 1, 1), (1, 0, 0), (0, 1, 0), (0, 0, 1)) for v in levels]
    ramp = images.new("RGB", (len(colours), 1))
    ramp.putdata(colours)
    flags = ImageCms.Flags.BLACKPOINTCOMPENSATION
    same = ImageCms.buildTransform(profile, _srgb(), "RGB", "RGB", ImageCms.Intent.RELATIVE_COLORIMETRIC, flags)
    return all(abs(a - b) <= _NEAR for a, b in zip(ramp.tobytes(), _applied(ramp, same).tobytes(), strict=True))


@lru_cache(maxsize=1)
def _srgb() -> Any:
    from PIL import ImageCms

    return ImageCms.createProfile("sRGB")


@lru_cache(maxsize=16)
def _transform(icc: bytes, mode: str) -> Any:
    from PIL import ImageCms

    found = _profile(icc)
    assert found is not None
    # A press profile's gamut is shaped by its perceptual table; matrix profiles need the black point instead.
    if mode == "CMYK":
        return ImageCms.buildTransform(found[2], _srgb(), mode, "RGB", ImageCms.Intent.PERCEPTUAL)
    return ImageCms.buildTransform(
        found[2], _srgb(), mode, "RGB", ImageCms.Intent.RELATIVE_COLORIMETRIC, ImageCms.Flags.BLACKPOINTCOMPENSATION
    )
