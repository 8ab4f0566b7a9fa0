"""The way in: a photo's bytes to a Fabric and a clean picture."""

from __future__ import annotations

import io
from dataclasses import dataclass
from zlib import crc32

import numpy as np
from PIL import Image, ImageChops, ImageFilter

from palette.colour import Floats, Lab, light_to_lab, light_to_srgb, srgb_to_light, to_hex
from palette.fabric import Fabric, PhotoWarning, Share
from palette.photo.daylight import White, in_daylight
from palette.photo.foreign_objects import Cleared, without_foreign_objects
from palette.photo.light import falling_light
from palette.photo.open import Photo, histogram, inside, light_of, open_photo, shrunk
from palette.photo.profile import in_srgb
from palette.photo.reduce import cloth_of, feature_size, main_colours, mean_light, without_folds
from palette.photo.reference import Reference
from palette.photo.scale import at_working_scale
from palette.photo.warnings import photo_warnings
from palette.photo.white_paper import PAPER

PICTURE_SIDE = 1024
"""Longer side of the picture that is kept."""
_MIRRORS = (
    Image.Transpose.FLIP_TOP_BOTTOM,
    Image.Transpose.FLIP_LEFT_RIGHT,
    Image.Transpose.ROTATE_180,
)
"""Where cloth is taken from to fill what is no cloth; the last one is preferred."""
_SOFT = 4
"""Pixels over which it passes into the cloth around it."""
_STEPS = 25
"""Of red, green and blue in the table that corrects it."""


@dataclass(frozen=True, slots=True)
class Reading:
    """What a photo tells."""

    fabric: Fabric
    """The fabric and its colours."""
    picture: bytes
    """The photo as a JPEG: sRGB, longer side at most 1024 pixels, without any metadata."""
    reference: Reference | None = None
    """What its colours were corrected by; good for other photos in the same light."""


@dataclass(frozen=True, slots=True)
class Source:
    """Where pixels come from."""

    photo: str = ""
    """Names the photo; '' makes a name of its pixels."""
    light: str = ""
    """Names the light it was taken in."""
    reference: Reference | None = None
    """What corrects it."""


def read(
    data: bytes,
    *,
    id: str,  # noqa: A002 (the field's name)
    name: str,
    white: White = None,
    paper: Lab = PAPER,
    even: bool = True,
    whole: bool = False,
    light: str = "",
    otherwise: Reference | None = None,
) -> Reading:
    """Read a fabric from the bytes of its photo.

    Parameters
    ----------
    data : bytes
        The file: JPEG, PNG, WebP, or HEIC where its extra is installed.
    id, name : str
        What the fabric is called.
    white : White
        What the colours are corrected by: 'auto' looks for white paper, a Box marks it, patches
        tell where a chart lies, and a Reference was taken from another photo in the same light.
        None leaves them as they are.
    paper : Lab
        True colour of the paper, for paper that is not neutral.
    even : bool
        Whether to even light that falls off across the photo, and to join shades that folds make of
        a dye; switch it off for cloth that itself goes from light to dark.
    whole : bool
        Whether to read the whole photo, also what seems to be a hand, the table's edge, a label or
        a spot of glare.
    light : str
        Names the light the photo was taken in.
    otherwise : Reference | None
        What corrects it if 'auto' finds no paper: the reference of another photo in the same light.

    Raises
    ------
    PhotoError
        If the bytes are no photo that can be used, or the white in it is not;
        the message says what to do.
    """
    lit = in_daylight(open_photo(data, name), white, paper, even=even, otherwise=otherwise)
    source = Source("", light, lit.reference)
    clear = Cleared(lit.cloth) if whole else without_foreign_objects(lit.cloth)
    warnings = (*lit.warnings, *clear.warnings)
    return read_photo(clear.photo, id=id, name=name, source=source, even=even, warnings=warnings)


def read_photo(
    photo: Photo,
    *,
    id: str,  # noqa: A002 (the field's name)
    name: str,
    source: Source,
    even: bool = True,
    warnings: tuple[PhotoWarning, ...] = (),
) -> Reading:
    """Read a fabric from an opened photo, or a part of one, that shows nothing but the cloth.

    Parameters
    ----------
    photo : Photo
        The pixels.
    id, name, even : str, str, bool
        As for read.
    source : Source
        Where they come from, and how they are corrected.
    warnings : tuple[PhotoWarning, ...]
        What is known to be wrong with the photo.
    """
    reference = source.reference
    seen = histogram(inside(photo))
    mean = _corrected(mean_light(seen, photo.meaning), reference)
    reads_as = Lab.rounded(light_to_lab(mean))
    small = shrunk(photo, PICTURE_SIDE)
    view = at_working_scale(inside(small))
    pixels, counts = light_of(view.photo)
    pixels = _corrected(pixels, reference)
    field = falling_light(pixels, counts) if even else np.ones(counts.shape)
    cloth = cloth_of(pixels / field[..., None], counts, grainy=view.grainy)
    lab, shares = main_colours(cloth)
    if even:
        lab, shares = without_folds(cloth, lab, shares)
    fabric = Fabric(
        id,
        name,
        reads_as,
        tuple(map(_share, lab, shares)),
        round(feature_size(cloth, lab) * view.times / min(small.pixels.size), 3),
        (*warnings, *photo_warnings(seen, small, field, cloth, lab, part=bool(source.photo))),
        source.photo or f"{crc32(small.pixels.tobytes()):08x}",
        source.light,
        reference.how if reference else "none",
    )
    return Reading(fabric, _picture(small, to_hex(reads_as), reference), reference)


def _corrected(light: Floats, reference: Reference | None) -> Floats:
    return light if reference is None else reference.correct(light)


def _share(lab: Floats, share: float) -> Share:
    return Share(Lab.rounded(lab), round(float(share), 4))


def _picture(photo: Photo, background: str, reference: Reference | None) -> bytes:
    """Make a clean JPEG; what is no cloth is filled, at worst with a web colour."""
    image = photo.pixels
    if photo.profile is not None:
        image = in_srgb(image, photo.profile) or image
    if reference is not None:
        image = image.filter(_table(reference))
    if photo.mask is not None:
        image = _filled(image, photo.mask, background)
    # A fresh image has no EXIF, place, comment or profile to hand on.
    bare = Image.frombytes("RGB", image.size, image.tobytes())
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=88)
    return out.getvalue()


def _filled(image: Image.Image, mask: Image.Image, background: str) -> Image.Image:
    """Fill what the mask leaves out with cloth mirrored from elsewhere, or else with a colour."""
    filled = Image.new("RGB", image.size, background)
    for turn in _MIRRORS:
        filled = Image.composite(image.transpose(turn), filled, mask.transpose(turn))
    # Only the inside of the mask is soft: what it leaves out does not shine through.
    soft = ImageChops.darker(mask, mask.filter(ImageFilter.GaussianBlur(_SOFT)))
    return Image.composite(image, filled, soft)


def _table(reference: Reference) -> ImageFilter.Color3DLUT:
    """Tabulate a correction of sRGB, to be interpolated."""
    steps = srgb_to_light(np.linspace(0, 1, _STEPS))
    blue, green, red = np.meshgrid(steps, steps, steps, indexing="ij")
    light = reference.correct(np.stack([red, green, blue], axis=-1))
    return ImageFilter.Color3DLUT(_STEPS, light_to_srgb(light).ravel().astype(np.float32))
