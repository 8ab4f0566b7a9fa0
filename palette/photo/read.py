"""The way in: a photo's bytes to a Fabric and a clean picture."""

from __future__ import annotations

import io
from dataclasses import dataclass, replace
from zlib import crc32

import numpy as np
from PIL import Image, ImageFilter

from palette.colour import Floats, Lab, light_to_lab, light_to_srgb, srgb_to_light, to_hex
from palette.fabric import CutAway, Fabric, NotCloth, PhotoWarning, Share, Side
from palette.photo.box import Box
from palette.photo.cloth import Cloth, all_of, cloth_in
from palette.photo.daylight import White, in_daylight
from palette.photo.light import falling_light
from palette.photo.margins import SIDE as MARGIN_SIDE
from palette.photo.margins import without_margins
from palette.photo.open import Photo, cropped, histogram, inside, light_of, open_photo
from palette.photo.paper_kind import PAPER
from palette.photo.print import print_of
from palette.photo.profile import in_srgb
from palette.photo.quad import Quad
from palette.photo.reduce import (
    cloth_of,
    feature_size,
    labels_of,
    main_colours,
    mean_light,
    without_folds,
)
from palette.photo.reference import Reference
from palette.photo.scale import at_working_scale
from palette.photo.warnings import photo_warnings

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
    across: float = 1.0
    """How much of the cloth's width the picture shows, above 0 and at most 1."""
    corners: Quad | None = None
    """Where the cloth was found to lie in the photo as it came; None where all of it is cloth."""


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
    data: bytes | Photo,
    *,
    id: str,  # noqa: A002 (the field's name)
    name: str,
    white: White = None,
    paper: Lab = PAPER,
    even: bool = True,
    whole: bool = False,
    corners: Quad | None = None,
    light: str = "",
    otherwise: Reference | None = None,
) -> Reading:
    """Read a fabric from the bytes of its photo.

    Parameters
    ----------
    data : bytes or Photo
        The file, or what was opened of it: JPEG, PNG, WebP, AVIF, TIFF, or HEIC where its extra is
        installed.
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
        Whether to read the whole photo, also what seems to be a margin, the table, a hand, a label
        or a spot of glare.
    corners : Quad | None
        Where the cloth lies, told by hand; all within is cloth, except paper.
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
    photo = data if isinstance(data, Photo) else open_photo(data, name)
    frame: Box | None = None
    margin: CutAway | None = None
    by_hand = whole or corners is not None or isinstance(white, Box | tuple)
    if not by_hand and photo.mask is None:
        photo, frame, margin = _without_margins(photo)
    lit = in_daylight(photo, white, paper, even=even, otherwise=otherwise)
    if whole and not lit.by_it:
        lit = replace(lit, beside=None)
    framed = margin is not None and len(margin.sides) == len(Side)
    cloth = cloth_in(photo, lit, whole=whole, framed=framed, corners=corners)
    found = cloth.left_out if margin is None else (margin, *cloth.left_out)
    place = cloth.corners if frame is None else _within(frame, cloth.corners)
    told = (*photo.assumed, *lit.warnings, *cloth.warnings)
    cloth = replace(cloth, left_out=found, warnings=told, corners=place)
    return _read(cloth, (id, name), Source("", light, lit.reference), even=even)


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
    return _read(replace(all_of(photo), warnings=warnings), (id, name), source, even=even)


def _within(frame: Box, corners: Quad | None) -> Quad:
    """Say where corners lie in the photo that a part was cut out of; without any, where that is."""
    whole = np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) if corners is None else corners.array()
    size = np.array([frame.right - frame.left, frame.bottom - frame.top])
    return Quad.of(whole * size + [frame.left, frame.top])


def _without_margins(photo: Photo) -> tuple[Photo, Box | None, CutAway | None]:
    """Cut off the uniform margins of a scan or a shop picture; tell what part is left."""
    times = max(1, round(max(photo.pixels.size) / MARGIN_SIDE))
    box = without_margins(np.asarray(photo.pixels.reduce(times)))
    if box is None:
        return photo, None, None
    ends = {
        Side.UPPER: box.top > 0,
        Side.RIGHT: box.right < 1,
        Side.LOWER: box.bottom < 1,
        Side.LEFT: box.left > 0,
    }
    sides = tuple(side for side, there in ends.items() if there)
    return cropped(photo, box), box, CutAway(NotCloth.MARGIN, round(1 - box.area, 4), sides)


def _read(cloth: Cloth, called: tuple[str, str], source: Source, *, even: bool) -> Reading:
    """Read the cloth of a photo; ``called`` is its id and its name."""
    reference = source.reference
    seen = histogram(cloth.every, inside(cloth.every))
    mean = _corrected(mean_light(seen, cloth.every.meaning), reference)
    reads_as = Lab.rounded(light_to_lab(mean))
    part = cloth.part
    view = at_working_scale(part)
    pixels, counts = light_of(view.photo)
    pixels = _corrected(pixels, reference)
    field = falling_light(pixels, counts) if even else np.ones(counts.shape)
    shown = cloth_of(pixels / field[..., None], counts, grainy=view.grainy)
    lab, shares = main_colours(shown)
    if even:
        lab, shares = without_folds(shown, lab, shares)
    labels = labels_of(shown, lab)
    feature = feature_size(shown, labels)
    wide = feature * view.times, feature / min(counts.shape)
    told = photo_warnings(seen, part, field[counts], lab, wide, part=bool(source.photo))
    shorter = min(part.pixels.size)
    fabric = Fabric(
        *called,
        reads_as,
        tuple(map(_share, lab, shares)),
        round(wide[0] / shorter, 3),
        (*cloth.warnings, *told),
        source.photo or f"{crc32(part.pixels.tobytes()):08x}",
        source.light,
        reference.how if reference else "none",
        cloth.left_out,
        print_of(shown, lab, labels, view.times / shorter, part.pixels.width / view.times),
    )
    picture = _picture(part, to_hex(reads_as), reference)
    return Reading(fabric, picture, reference, cloth.across, cloth.corners)


def _corrected(light: Floats, reference: Reference | None) -> Floats:
    return light if reference is None else reference.correct(light)


def _share(lab: Floats, share: float) -> Share:
    return Share(Lab.rounded(lab), round(float(share), 4))


def _picture(photo: Photo, background: str, reference: Reference | None) -> bytes:
    """Make a clean JPEG; what is no cloth, where no part is clean, becomes one plain web colour."""
    image = photo.pixels
    if photo.profile is not None:
        image = in_srgb(image, photo.profile) or image
    if reference is not None:
        image = image.filter(_table(reference))
    if photo.mask is not None:
        image = Image.composite(image, Image.new("RGB", image.size, background), photo.mask)
    # A fresh image has no EXIF, place, comment or profile to hand on.
    bare = Image.new("RGB", image.size)
    bare.paste(image)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=88)
    return out.getvalue()


def _table(reference: Reference) -> ImageFilter.Color3DLUT:
    """Tabulate a correction of sRGB, to be interpolated."""
    steps = srgb_to_light(np.linspace(0, 1, _STEPS))
    blue, green, red = np.meshgrid(steps, steps, steps, indexing="ij")
    light = reference.correct(np.stack([red, green, blue], axis=-1))
    return ImageFilter.Color3DLUT(_STEPS, light_to_srgb(light).ravel().astype(np.float32))
