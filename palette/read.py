"""The way in: a photo's bytes to a Fabric and a clean picture."""

from __future__ import annotations

import io
from dataclasses import dataclass

from PIL import Image

from palette.colour import Lab, light_to_lab
from palette.fabric import Fabric, Share
from palette.photo import PICTURE_SIDE, Photo, open_photo
from palette.reduce import main_colours, mean_light


@dataclass(frozen=True, slots=True)
class Reading:
    """What a photo tells."""

    fabric: Fabric
    """The fabric and its colours."""
    picture: bytes
    """The photo as a JPEG: sRGB, long side at most 1024 pixels, without any metadata."""


def read(data: bytes, *, id: str, name: str) -> Reading:  # noqa: A002 (the field's name)
    """Read a fabric from the bytes of its photo.

    Raises
    ------
    PhotoError
        If the bytes are no photo that can be used; the message says what to do.
    """
    photo = open_photo(data, name)
    colours = tuple(Share(Lab.rounded(lab), share) for lab, share in main_colours(photo))
    reads_as = Lab.rounded(light_to_lab(mean_light(photo)))
    return Reading(Fabric(id, name, reads_as, colours), _picture(photo))


def _picture(photo: Photo) -> bytes:
    image = photo.pixels.copy()
    image.thumbnail((PICTURE_SIDE, PICTURE_SIDE), Image.Resampling.BOX)
    bare = Image.frombytes("RGB", image.size, image.tobytes())
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=88)
    return out.getvalue()
