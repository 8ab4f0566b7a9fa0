"""Open a photo safely and upright, and give its pixels a known meaning.

Whatever bytes arrive, the outcome is a Photo or a PhotoError whose sentence
names the file and says what to do. Sizes are checked from the header, before
any pixel is decoded.
"""

from __future__ import annotations

import contextlib
import io
import warnings
from dataclasses import dataclass, replace
from math import ceil
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageOps, ImageStat, features
from PIL.JpegImagePlugin import JpegImageFile
from PIL.TiffImagePlugin import TiffImageFile

from palette.fabric import PhotoFault, PhotoWarning
from palette.photo.coding.file_colours import FileColours, file_colours
from palette.photo.coding.iso_media import is_avif, is_heic
from palette.photo.profile import SRGB, Meaning, in_srgb, meaning

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from palette.colour import Floats
    from palette.photo.box import Box

MOST_BYTES = 40_000_000
MOST_PIXELS = 50_000_000
MOST_PIXELS_JPEG = 200_000_000
"""A JPEG can be decoded at a half to an eighth of its size, so it may be larger."""
SHORTEST_SIDE = 16
LONGEST_FOR_SHORTEST = 40
RIM = 0.025
"""Part of each side that is not read."""
LEAST_OPAQUE = 0.01
"""Part of a photo that has to show something."""

_HALF_FROM = 4_000_000
"""Pixels from which a JPEG is decoded at half its size or less."""
_DECODED = 13_000_000
"""Pixels of a JPEG decoded at most."""
_FORMATS = ("JPEG", "PNG", "WEBP", "AVIF", "TIFF")
_OURS = ((0, b"\xff\xd8\xff"), (0, b"\x89PNG"), (8, b"WEBP"))
_TIFFS = (b"II*\0", b"MM\0*", b"II+\0", b"MM\0+")
_OTHERS = (
    (0, b"GIF8", "a GIF"),
    *((0, mark, "a raw photo, or a TIFF that is damaged or of an unusual kind") for mark in _TIFFS),
    (0, b"BM", "a BMP"),
    (0, b"%PDF", "a PDF"),
    (4, b"ftypcrx", "a raw photo"),
    (4, b"ftyp", "a video"),
)
_RAW_TAGS = {50706, 50740}
"""DNGVersion and DNGPrivateData (Digital Negative specification 1.7)."""
_SUBFILE, _PHOTOMETRIC = 254, 262
"""Tags of TIFF 6.0; odd subfile types are previews, photometric 32803 is a sensor's mosaic."""
_MODES = {"1", "L", "LA", "La", "P", "PA", "RGB", "RGBA", "RGBa", "RGBX", "CMYK", "YCbCr"}
"""What pixels can be; 16-bit grey besides."""
_SAVE = "open it in a photo program, save it as JPEG and choose that file"

_TOO_HARD = (
    "takes more memory to open than one photo is given; save it as an ordinary JPEG of at most 20 "
    "megapixels"
)
_DAMAGED = (
    "is damaged or cut short; copy it again from the camera or phone, or choose another photo"
)

# Pillow refuses twice this number by itself, as the header is read.
Image.MAX_IMAGE_PIXELS = MOST_PIXELS_JPEG


Edges = tuple[int, int, int, int]
"""A part of a photo in pixels: left, top, right and bottom."""


class PhotoError(ValueError):
    """A photo that cannot be used; the message names it and says what to do."""


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """An opened photo."""

    pixels: Image.Image
    """Upright pixels, mode RGB."""
    meaning: Meaning = SRGB
    """What red, green and blue of the pixels mean."""
    profile: bytes | None = None
    """The ICC profile behind that meaning; None for sRGB."""
    mask: Image.Image | None = None
    """Which pixels are cloth, mode L, 255 where they are; None when all are."""
    assumed: tuple[PhotoWarning, ...] = ()
    """What had to be assumed of its colours."""


def open_photo(data: bytes, name: str) -> Photo:
    """Open the bytes of a photo.

    JPEG, PNG, WebP, AVIF and TIFF are read, and HEIC where the extra `heic` is installed.
    JPEGs of 4 megapixels and more are decoded at half their size or less.

    Raises
    ------
    PhotoError
        If the bytes are empty, too many, no picture, of another format, broken,
        of too many or too few pixels, or see-through everywhere.
    """
    check_bytes(len(data), name)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # decoders warn of oddities that do no harm
        image = _header(data, name)
        _check_size(image, name)
        told = file_colours(image, data)
        _decode(image, name)
        photo = _understood(image, told)
    if photo.mask is not None and ImageStat.Stat(photo.mask).mean[0] < 255 * LEAST_OPAQUE:
        raise PhotoError(f"{name!r} is see-through nearly everywhere; choose a photo of the cloth")
    return photo


def shrunk(photo: Photo, longer_side: int) -> Photo:
    """Shrink a photo so that its longer side has at most so many pixels, and not many fewer."""
    width, height = photo.pixels.size
    longer = max(width, height)
    if longer <= longer_side:
        return photo
    times = ceil(longer / longer_side)
    if longer / times >= 0.75 * longer_side:
        return reduced(photo, times)
    part = longer_side / longer
    size = (max(1, round(width * part)), max(1, round(height * part)))
    mask = photo.mask and photo.mask.resize(size, Image.Resampling.BOX)
    return replace(photo, pixels=photo.pixels.resize(size, Image.Resampling.BOX), mask=mask)


def reduced(photo: Photo, times: int, edges: Edges | None = None) -> Photo:
    """Shrink a photo, or its part within edges: the mean of so many pixels each way."""
    mask = photo.mask and photo.mask.reduce(times, edges)
    return replace(photo, pixels=photo.pixels.reduce(times, edges), mask=mask)


def middle(photo: Photo, longer_side: int) -> Photo:
    """Cut a photo down to its middle, of the same form, with sides of at most so many pixels."""
    edges = _middle(photo.pixels.size, longer_side)
    mask = photo.mask and photo.mask.crop(edges)
    return replace(photo, pixels=photo.pixels.crop(edges), mask=mask)


def _middle(size: tuple[int, int], longer_side: int) -> Edges:
    width, height = size
    part = min(1.0, longer_side / max(width, height))
    left, top = int(width * (1 - part) / 2), int(height * (1 - part) / 2)
    return left, top, width - left, height - top


def cropped(photo: Photo, box: Box) -> Photo:
    """Cut a part out of a photo."""
    edges = box.pixels(*photo.pixels.size)
    mask = photo.mask and photo.mask.crop(edges)
    return replace(photo, pixels=photo.pixels.crop(edges), mask=mask)


def inside(photo: Photo) -> Edges:
    """Leave out a narrow rim, where the table, a selvage or a finger may show; none of a mask."""
    size = photo.pixels.size
    if photo.mask is not None:
        return 0, 0, *size
    return _middle(size, round((1 - 2 * RIM) * max(size)))


def histogram(photo: Photo, edges: Edges | None = None) -> Floats:
    """Share of the cloth's pixels at each value of each channel, shape (3, 256).

    With edges, of those within. What lies beyond is counted and taken off: a copy of what lies
    within would take longer.
    """
    pixels, mask = photo.pixels, photo.mask
    counts = np.reshape(pixels.histogram(mask), (3, 256))
    for rim in _beyond(pixels.size, edges) if edges else ():
        counts = counts - np.reshape(pixels.crop(rim).histogram(mask and mask.crop(rim)), (3, 256))
    return np.asarray(counts / counts.sum(axis=1, keepdims=True))


def _beyond(size: tuple[int, int], edges: Edges) -> list[Edges]:
    """Return the four rims beyond edges, without those that are empty."""
    (width, height), (left, top, right, bottom) = size, edges
    rims = [
        (0, 0, width, top),
        (0, bottom, width, height),
        (0, top, left, bottom),
        (right, top, width, bottom),
    ]
    return [rim for rim in rims if rim[0] < rim[2] and rim[1] < rim[3]]


def light_of(photo: Photo) -> tuple[Floats, NDArray[np.bool_]]:
    """Give the light of each pixel, shape (height, width, 3), and which pixels are cloth."""
    codes = np.asarray(photo.pixels)
    curves = photo.meaning.curves
    energy = np.stack([np.take(curves[part], codes[..., part]) for part in range(3)], axis=-1)
    if photo.mask is None:
        cloth = np.ones(codes.shape[:2], dtype=np.bool_)
    else:
        mask = np.asarray(photo.mask)
        cloth = mask == mask.max()
    return photo.meaning.light(energy), cloth


def check_bytes(count: int, name: str) -> None:
    """Refuse a file of no bytes, or of too many.

    Raises
    ------
    PhotoError
        If there are none or too many; the message says what to do.
    """
    if not count:
        raise PhotoError(f"{name!r} is empty; choose another file")
    if count > MOST_BYTES:
        raise PhotoError(
            f"{name!r} has {count / 1e6:.1f} MB; at most {MOST_BYTES / 1e6:.0f} MB are read: "
            "save it smaller, as JPEG"
        )


def _header(data: bytes, name: str) -> Image.Image:
    """Read what comes before the pixels."""
    try:
        if is_heic(data):
            return _heic(data, name)
        image = Image.open(io.BytesIO(data), formats=_FORMATS)
    except PhotoError:
        raise
    except Image.DecompressionBombError as error:
        raise PhotoError(
            _too_many(name, f"over {2 * MOST_PIXELS_JPEG:,}", MOST_PIXELS_JPEG)
        ) from error
    except Exception as error:  # broken files make decoders raise nearly anything
        raise PhotoError(f"{name!r} {_what_it_is(data)}") from error
    if isinstance(image, TiffImageFile) and _is_raw(image, data):
        raise PhotoError(f"{name!r} is a raw photo, which is not read here; {_SAVE}")
    if image.mode not in _MODES and not image.mode.startswith("I;16"):
        raise PhotoError(
            f"{name!r} holds its colours in a way that is not read here ({image.mode}); {_SAVE}"
        )
    return image


def _is_raw(image: TiffImageFile, data: bytes) -> bool:
    """Whether a TIFF is a camera's raw photo: what it shows first is a small preview."""
    tags = image.tag_v2
    mosaic = tags.get(_PHOTOMETRIC) in (32803, 34892)
    preview = bool(int(tags.get(_SUBFILE, 0)) & 1)
    return data[8:10] == b"CR" or mosaic or preview or any(tag in tags for tag in _RAW_TAGS)


def _heic(data: bytes, name: str) -> Image.Image:
    try:
        from pillow_heif import HeifImageFile
    except ImportError as error:
        raise PhotoError(
            f"{name!r} is a HEIC photo; {_SAVE}, or install the extra that reads HEIC: "
            "pip install 'spreadwell[heic]'"
        ) from error
    image: Image.Image = HeifImageFile(io.BytesIO(data))
    return image


def _what_it_is(data: bytes) -> str:
    if is_avif(data) and not features.check("avif"):
        return f"is an AVIF, which the imaging library installed here does not read; {_SAVE}"
    known = any(data[offset:].startswith(mark) for offset, mark in _OURS)
    if known or is_heic(data) or is_avif(data):
        return _DAMAGED
    for offset, mark, what in _OTHERS:
        if data[offset:].startswith(mark):
            return f"is {what}, which is not read here; {_SAVE}"
    return "is not a picture; choose a photo saved as JPEG, PNG or WebP"


def _check_size(image: Image.Image, name: str) -> None:
    shorter, longer = sorted(image.size)
    # A progressive JPEG is kept whole while it is decoded, whatever its size in the end.
    scales = isinstance(image, JpegImageFile) and not image.info.get("progressive")
    most = MOST_PIXELS_JPEG if scales else MOST_PIXELS
    if shorter * longer > most:
        raise PhotoError(_too_many(name, f"{shorter * longer:,}", most))
    if shorter < SHORTEST_SIDE or longer > LONGEST_FOR_SHORTEST * shorter:
        raise PhotoError(
            f"{name!r} is only {image.width} x {image.height} pixels, too small to read a colour "
            "from; choose a photo of at least 600 x 600"
        )


def _too_many(name: str, count: str, most: int) -> str:
    return (
        f"{name!r} has {count} pixels; at most {most:,} are read: make it smaller, "
        "12 megapixels are plenty"
    )


def _decode(image: Image.Image, name: str) -> None:
    """Decode the pixels and turn them upright, in place."""
    try:
        if isinstance(image, JpegImageFile):
            part = _draft(image.width * image.height)
            image.draft(None, (image.width // part, image.height // part))
        image.load()
    except MemoryError as error:
        raise PhotoError(f"{name!r} {_TOO_HARD}") from error
    except Exception as error:  # broken files make decoders raise nearly anything
        raise PhotoError(f"{name!r} {_DAMAGED}") from error
    with contextlib.suppress(Exception):  # a broken EXIF block does not tell which way is up
        ImageOps.exif_transpose(image, in_place=True)


def _draft(pixels: int) -> int:
    """Choose the part, 1 to 8, of its size that a JPEG is decoded at."""
    part = 2 if pixels >= _HALF_FROM else 1
    while pixels > _DECODED * part * part and part < 8:
        part *= 2
    return part


def _understood(image: Image.Image, told: FileColours) -> Photo:
    """Bring decoded pixels of any mode to red, green and blue with a meaning."""
    mask = _mask(image)
    assumed = told.assumed
    if image.mode.startswith("I"):
        image = _eight_bits(image)
    inks = image.mode == "CMYK"
    known = meaning(told.profile) if told.profile and not inks else None
    if known is not None:
        pixels = _rgb(image)
        if told.recoded is not None:
            pixels = pixels.point(3 * told.recoded.tolist())
        return Photo(pixels, known, told.profile, mask, _assumed(assumed))
    if told.profile:
        plain = image if image.mode == "L" or inks else _rgb(image)
        converted = in_srgb(plain, told.profile)
        if converted is not None:
            return Photo(converted, mask=mask, assumed=_assumed(assumed))
        assumed = PhotoFault.COLOURS_UNKNOWN
    if inks:
        assumed = PhotoFault.INKS_ASSUMED
    return Photo(_rgb(image), mask=mask, assumed=_assumed(assumed))


def _assumed(fault: PhotoFault | None) -> tuple[PhotoWarning, ...]:
    return () if fault is None else (PhotoWarning(fault),)


def _rgb(image: Image.Image) -> Image.Image:
    return image if image.mode == "RGB" else image.convert("RGB")


def _mask(image: Image.Image) -> Image.Image | None:
    """Give 255 where the picture is at least half opaque, else 0; None if it is throughout."""
    if not image.has_transparency_data:
        return None
    alpha = image if "A" in image.getbands() else image.convert("RGBA")
    mask = alpha.getchannel("A").point([0] * 128 + [255] * 128)
    return None if mask.getextrema() == (255, 255) else mask


def _eight_bits(image: Image.Image) -> Image.Image:
    """Scale 16-bit grey; Pillow would cut off everything above 255."""
    grey = np.clip(np.asarray(image), 0, 65535).astype(np.uint32)
    return Image.fromarray(((grey + 128) // 257).astype(np.uint8))
