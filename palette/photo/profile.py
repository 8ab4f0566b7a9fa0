"""What a photo's numbers mean: from an embedded ICC profile to light.

Phones and cameras embed profiles of three curves and three colorants (Display
P3, Adobe RGB, sRGB). Those are followed here in floating point, so that colours
a screen cannot show keep their values; an 8-bit conversion would clip them.
Layout of the tags: ICC.1:2022, sections 7.2, 7.3, 10.6, 10.18 and 10.31. All
other profiles (tables, grey, printing inks) are for Little CMS.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from functools import lru_cache
from io import BytesIO

import numpy as np
from PIL import Image, ImageCms

from palette.colour import Floats, from_d50, srgb_to_light

_CODES = np.arange(256) / 255


@dataclass(frozen=True, slots=True, eq=False)
class Meaning:
    """How 8-bit red, green and blue become light."""

    curves: Floats
    """Energy of each of the 256 values, one row per channel, shape (3, 256)."""
    mix: Floats
    """Matrix from the channels' energy to light, shape (3, 3)."""

    def light(self, energy: Floats) -> Floats:
        """Turn energy per channel, shape (..., 3), into light."""
        return np.asarray(energy @ self.mix.T)


SRGB = Meaning(np.tile(srgb_to_light(_CODES), (3, 1)), np.eye(3))
"""The meaning of pixels without a profile."""


@lru_cache(maxsize=32)
def meaning(profile: bytes) -> Meaning | None:
    """Read a profile of three curves and three colorants.

    Returns None for any other kind of profile, and for bytes that are no profile.
    """
    try:
        with np.errstate(all="ignore"):
            return _meaning(profile)
    except (struct.error, ArithmeticError, LookupError, ValueError):
        return None


def in_srgb(image: Image.Image, profile: bytes) -> Image.Image | None:
    """Convert an image, mode RGB, L or CMYK, to 8-bit sRGB; None if the profile is unfit for it."""
    try:
        return ImageCms.applyTransform(image, _transform(profile, image.mode))
    except (ImageCms.PyCMSError, OSError, ValueError, TypeError):
        return None


@lru_cache(maxsize=32)
def _transform(profile: bytes, mode: str) -> ImageCms.ImageCmsTransform:
    return ImageCms.buildTransform(
        ImageCms.ImageCmsProfile(BytesIO(profile)),
        ImageCms.createProfile("sRGB"),
        mode,
        "RGB",
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
    )


def _meaning(profile: bytes) -> Meaning | None:
    if profile[16:24] != b"RGB XYZ ":
        return None
    tags = _tags(profile)
    if b"A2B0" in tags:
        return None
    curves = np.stack([_curve(tags[name]) for name in (b"rTRC", b"gTRC", b"bTRC")])
    mix = np.stack([_colorant(tags[name]) for name in (b"rXYZ", b"gXYZ", b"bXYZ")], axis=-1)
    # Full red, green and blue make white to the last digit.
    mix /= mix.sum(axis=1, keepdims=True)
    sound = np.isfinite(curves).all() and np.isfinite(mix).all() and np.abs(mix).max() < 10
    return Meaning(curves, mix) if sound else None


def _tags(profile: bytes) -> dict[bytes, bytes]:
    (count,) = struct.unpack_from(">I", profile, 128)
    entries = [struct.unpack_from(">4sII", profile, 132 + 12 * n) for n in range(min(count, 100))]
    return {name: profile[start : start + size] for name, start, size in entries}


def _colorant(tag: bytes) -> Floats:
    """Light of one full channel."""
    x, y, z = (part / 65536 for part in struct.unpack_from(">3i", tag, 8))
    return from_d50(x, y, z)


def _curve(tag: bytes) -> Floats:
    """Energy of each 8-bit value, shape (256,)."""
    if tag[:4] == b"para":
        return _parametric(tag)
    if tag[:4] != b"curv":
        raise ValueError(f"{tag[:4]!r} is no curve")
    (count,) = struct.unpack_from(">I", tag, 8)
    if count == 0:
        return _CODES
    points = np.array(struct.unpack_from(f">{count}H", tag, 12))
    if count == 1:
        return np.asarray(_CODES ** (points[0] / 256))
    return np.interp(_CODES, np.linspace(0, 1, count), points / 65535)


def _parametric(tag: bytes) -> Floats:
    """Formulas of ICC.1:2022, table 68: (a x + b)^g + e from d on, c x + f below.

    Types 1 and 2 change formula where a x + b is 0, so d is not needed; what
    type 2 calls c stands where the others have e.
    """
    (kind,) = struct.unpack_from(">H", tag, 8)
    names = ("g", "gab", "gabe", "gabcd", "gabcdef")[kind]
    given = (part / 65536 for part in struct.unpack_from(f">{len(names)}i", tag, 12))
    value = dict.fromkeys("bcdef", 0.0) | {"a": 1.0} | dict(zip(names, given, strict=True))
    upper = np.maximum(value["a"] * _CODES + value["b"], 0) ** value["g"] + value["e"]
    return np.asarray(np.where(value["d"] > _CODES, value["c"] * _CODES + value["f"], upper))
