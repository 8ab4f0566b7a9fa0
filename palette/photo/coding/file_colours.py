"""What a file says its colours are, by whatever means its format has.

PNG (third edition, W3C 2025, 4.3): cICP goes before iCCP, that before sRGB, that
before gAMA and cHRM. HEIC and AVIF: a profile before the code points of 'nclx'
(ISO/IEC 23000-22, 7.3.6.4). JPEG and TIFF: a profile before EXIF (CIPA DC-008
and DC-009, that is DCF 2.0: colour space 'uncalibrated' and interoperability
index 'R03' are Adobe RGB). What says nothing is sRGB.
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from palette.colour import srgb_to_light
from palette.fabric import PhotoFault
from palette.photo.coding.code_points import BT709, Primaries, coded, power
from palette.photo.coding.iso_media import code_points
from palette.photo.coding.make_profile import make_profile

if TYPE_CHECKING:
    from PIL import Image

    from palette.colour import Floats

_VALUES = np.arange(256) / 255
_ADOBE: Primaries = ((0.64, 0.33), (0.21, 0.71), (0.15, 0.06), (0.3127, 0.3290))
_ADOBE_GAMMA = 563 / 256
"""Adobe RGB (1998), 4.3.1.1 and 4.3.1.2."""
_SRGB_SPACE, _ADOBE_SPACE, _UNCALIBRATED = 1, 2, 0xFFFF
"""Of the EXIF tag ColorSpace; 2 is what some cameras write for Adobe RGB (common practice)."""
_EXIF, _INTEROPERABILITY = 0x8769, 0xA005
_COLOUR_SPACE, _GAMMA, _WHITE, _PRIMARIES = 0xA001, 0xA500, 0x013E, 0x013F
_GAMMAS = 0.2, 5.0
"""Powers that a file may sensibly ask for."""


@dataclass(frozen=True, slots=True, eq=False)
class FileColours:
    """What the numbers in a file mean."""

    profile: bytes | None = None
    """An ICC profile, the file's or one made of what it says; None for sRGB."""
    recoded: NDArray[np.uint8] | None = None
    """What each of the 256 values has to become first, shape (256,)."""
    assumed: PhotoFault | None = None
    """What had to be assumed."""


def file_colours(image: Image.Image, data: bytes) -> FileColours:
    """Tell what the numbers in a file mean.

    Parameters
    ----------
    image : Image.Image
        The file as the imaging library opened it; its pixels need not be decoded.
    data : bytes
        Its bytes.
    """
    if image.format == "PNG":
        return _of_png(image, data)
    embedded = image.info.get("icc_profile")
    if embedded:
        return FileColours(embedded)
    if image.format not in ("JPEG", "MPO", "TIFF", "WEBP"):
        points = code_points(data)
        if points is not None:
            return _by_code_points(*points) or _UNKNOWN
    return _by_exif(image)


_UNKNOWN = FileColours(assumed=PhotoFault.COLOURS_UNKNOWN)


def _of_png(image: Image.Image, data: bytes) -> FileColours:
    chunk = _chunk(data, b"cICP")
    if chunk is not None and len(chunk) == 4 and chunk[2] == 0:
        found = _by_code_points(chunk[0], chunk[1], narrow=chunk[3] == 0)
        if found is not None:
            return found
    embedded = image.info.get("icc_profile")
    if embedded:
        return FileColours(embedded)
    gamma, points = image.info.get("gamma"), image.info.get("chromaticity")
    if "srgb" in image.info or (gamma is None and points is None):
        return FileColours()
    return _made(_png_primaries(points), 1 / gamma if gamma else None)


def _png_primaries(points: tuple[float, ...] | None) -> Primaries:
    if points is None:
        return BT709
    white, red, green, blue = zip(points[::2], points[1::2], strict=True)
    return red, green, blue, white


def _chunk(data: bytes, kind: bytes) -> bytes | None:
    """Return a chunk of a PNG that stands before its pixels (11.2)."""
    at = 8
    while at + 8 <= len(data):
        length, name = struct.unpack_from(">I4s", data, at)
        if name == kind:
            return data[at + 8 : at + 8 + length]
        if name == b"IDAT":
            break
        at += 12 + length
    return None


def _by_code_points(primaries: int, transfer: int, *, narrow: bool = False) -> FileColours | None:
    found = coded(primaries, transfer)
    if found is None:
        return None
    values = _VALUES
    if narrow:
        values = np.clip((255 * values - 16) / 219, 0, 1)
    if found.recoded is not None:
        values = np.interp(values, _VALUES, found.recoded)
    changed = narrow or found.recoded is not None
    return FileColours(
        _profile(found.primaries, found.curve),
        np.rint(255 * values).astype(np.uint8) if changed else None,
        None if found.recoded is None else PhotoFault.HDR_WHITE,
    )


def _by_exif(image: Image.Image) -> FileColours:
    try:
        tags = image.getexif()
        own = {**tags.get_ifd(_EXIF)}
        index = str(tags.get_ifd(_INTEROPERABILITY).get(1, ""))
        points = _exif_primaries(tags.get(_PRIMARIES), tags.get(_WHITE))
        gamma = _number(own.get(_GAMMA))
    except Exception:  # a broken EXIF block says nothing
        return FileColours()
    space = own.get(_COLOUR_SPACE)
    if space == _ADOBE_SPACE or (space != _SRGB_SPACE and index.startswith("R03")):
        return _made(_ADOBE, _ADOBE_GAMMA)
    if space == _SRGB_SPACE or (space is None and points is None):
        return FileColours()
    return _UNKNOWN if points is None else _made(points, gamma)


def _exif_primaries(points: object, white: object) -> Primaries | None:
    """Return the chromaticities of the tags PrimaryChromaticities and WhitePoint."""
    if not isinstance(points, tuple) or len(points) != 6:
        return None
    red, green, blue = ((float(points[k]), float(points[k + 1])) for k in (0, 2, 4))
    if isinstance(white, tuple) and len(white) == 2:
        return red, green, blue, (float(white[0]), float(white[1]))
    return red, green, blue, BT709[3]


def _number(value: object) -> float | None:
    return None if value is None else float(str(value))


def _made(primaries: Primaries, gamma: float | None) -> FileColours:
    """Make a profile of primaries and a power; without one the curve is that of sRGB."""
    if gamma is not None and not _GAMMAS[0] <= gamma <= _GAMMAS[1]:
        return _UNKNOWN
    curve = srgb_to_light(_VALUES) if gamma is None else power(gamma)(_VALUES)
    try:
        return FileColours(_profile(primaries, curve))
    except (ValueError, struct.error):  # primaries that enclose nothing
        return _UNKNOWN


def _profile(primaries: Primaries, curve: Floats) -> bytes | None:
    plain = primaries == BT709 and np.abs(curve - srgb_to_light(_VALUES)).max() < 1e-6
    return None if plain else make_profile(primaries, curve)
