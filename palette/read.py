"""The way in: a photo's bytes to a Fabric and a clean picture."""

from __future__ import annotations

import io
from dataclasses import dataclass

from PIL import Image

from palette.colour import Floats, Lab, light_to_lab, to_hex
from palette.fabric import Fabric, Share
from palette.flaws import flaws
from palette.light import falling_light
from palette.photo import Photo, histogram, inside, light_of, open_photo, shrunk
from palette.profile import in_srgb
from palette.reduce import at_working_scale, cloth_of, feature_size, main_colours, mean_light

PICTURE_SIDE = 1024
"""Longer side of the picture that is kept."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What a photo tells."""

    fabric: Fabric
    """The fabric and its colours."""
    picture: bytes
    """The photo as a JPEG: sRGB, longer side at most 1024 pixels, without any metadata."""


def read(data: bytes, *, id: str, name: str) -> Reading:  # noqa: A002 (the field's name)
    """Read a fabric from the bytes of its photo.

    Raises
    ------
    PhotoError
        If the bytes are no photo that can be used; the message says what to do.
    """
    photo = open_photo(data, name)
    seen = histogram(inside(photo))
    reads_as = Lab.rounded(light_to_lab(mean_light(seen, photo.meaning)))
    small = shrunk(photo, PICTURE_SIDE)
    view = at_working_scale(inside(small))
    light, counts = light_of(view.photo)
    field = falling_light(light, counts)
    cloth = cloth_of(light / field[..., None], counts, grainy=view.grainy)
    lab, shares = main_colours(cloth)
    fabric = Fabric(
        id,
        name,
        reads_as,
        tuple(map(_share, lab, shares)),
        round(feature_size(cloth, lab) * view.times / min(small.pixels.size), 3),
        flaws(seen, small, field, cloth, lab),
    )
    return Reading(fabric, _picture(small, to_hex(reads_as)))


def _share(lab: Floats, share: float) -> Share:
    return Share(Lab.rounded(lab), round(float(share), 4))


def _picture(photo: Photo, background: str) -> bytes:
    """Make a clean JPEG; the background, a web colour, replaces see-through pixels."""
    image = photo.pixels
    if photo.profile is not None:
        image = in_srgb(image, photo.profile) or image
    if photo.mask is not None:
        image = Image.composite(image, Image.new("RGB", image.size, background), photo.mask)
    # A fresh image has no EXIF, place, comment or profile to hand on.
    bare = Image.frombytes("RGB", image.size, image.tobytes())
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=88)
    return out.getvalue()
