"""What corrects an opened photo, and what in it is paper or a chart and no cloth."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from PIL import Image

from palette.colour import Floats, Lab, light_to_lab
from palette.fabric import PhotoFault, PhotoWarning
from palette.photo.box import Box
from palette.photo.light import falling_light
from palette.photo.open import Photo, cropped, histogram, light_of, reduced
from palette.photo.paper import SIDE, Mask, Sheet, box_of, sheet_at, sheets_of_paper
from palette.photo.paper_kind import PAPER
from palette.photo.reduce import mean_light
from palette.photo.reference import Reference
from palette.photo.white_paper import Patch, WhiteError, chart_reference, white_reference

White = Reference | Box | tuple[Patch, ...] | Literal["auto"] | None
"""What colours are corrected by (see read)."""

_SURE = 0.2
"""Part of a marked place and of patches left out along each edge, where they may be shaded."""
_AROUND = 4
"""Pixels left out around paper, of 160 across the photo: its shadow and its blurred edge."""
_MOST_CLIPPED = 0.02
"""Part of the paper that may be over-exposed."""
_STRONG_TINT = 30.0
"""Chroma of white paper in the photo from which on the light is strongly coloured."""
_MIXED, _TOO_MIXED = 7.0, 18.0
"""Difference of tint of two sheets from which on two lights are told, and from which on one
correction for the whole photo can't be expected to help."""
_MOST_EVENED = 1.4
"""Times that paper may be taken to be better lit than the cloth, or worse."""


@dataclass(frozen=True, slots=True, eq=False)
class Lit:
    """What corrects a photo, and what in it is no cloth."""

    reference: Reference | None
    """What corrects it; None leaves it as it is."""
    beside: Mask | None = None
    """Paper or a chart, shape (height, width) at a scale of its own; None where there is none."""
    by_it: bool = False
    """Whether that is what corrects it."""
    warnings: tuple[PhotoWarning, ...] = ()
    """What kept it from being corrected, or makes it less sure."""


def in_daylight(
    photo: Photo,
    white: White,
    paper: Lab = PAPER,
    *,
    even: bool = True,
    otherwise: Reference | None = None,
) -> Lit:
    """Find what corrects a photo, and every sheet of white paper in it.

    Parameters
    ----------
    photo : Photo
        An opened photo of cloth and, beside it, white paper or a chart.
    white : White
        As for read; paper is told from cloth whatever corrects.
    paper : Lab
        As for read.
    even : bool
        Whether to make up for light that falls off between paper and cloth.
    otherwise : Reference | None
        What to take where no paper is found: a reference of the same light.

    Raises
    ------
    WhiteError
        If the place that is marked cannot serve.
    """
    if isinstance(white, tuple):
        return _by_chart(photo, white)
    light, _ = light_of(reduced(photo, max(1, round(max(photo.pixels.size) / SIDE))))
    if isinstance(white, Box):
        return _by_marked(photo, light, white, paper, even)
    sheets = sheets_of_paper(light)
    given = otherwise if white == "auto" else white
    if not sheets:
        return Lit(given)
    beside = _wider(np.logical_or.reduce([sheet.mask for sheet in sheets]))
    if white != "auto":
        return Lit(given, beside)
    return replace(_by_sheets(photo, light, sheets, paper, even), beside=beside)


def _by_chart(photo: Photo, chart: tuple[Patch, ...]) -> Lit:
    if not chart:
        raise WhiteError("the chart has no patches; give where each lies and its colour")
    seen = np.array([_mean(photo, patch.box.shrunk(_SURE)) for patch in chart])
    known = np.array([patch.colour.array() for patch in chart])
    around = Box.around_all([patch.box for patch in chart])
    reference = chart_reference(seen, known)
    return Lit(reference, _wider(_marked(around, *_scaled(photo.pixels.size))), by_it=True)


def _by_marked(photo: Photo, light: Floats, place: Box, paper: Lab, even: bool) -> Lit:
    """Correct by the paper in a place that was marked."""
    if _is_clipped(photo, place, None):
        raise WhiteError(
            "the white paper is over-exposed, so its tint cannot be told; tap it on the phone "
            "before taking the photo, or choose less exposure",
            PhotoFault.PAPER_BRIGHT,
        )
    seen = _mean(photo, place)
    sheet = sheet_at(light, place)
    beside = _wider(sheet)
    if beside.all():
        raise WhiteError(f"the box {place} fills the photo; nothing is left for the cloth")
    inner = _marked(place, light.shape[1], light.shape[0])
    gain = _gain(light, inner, ~beside) if even else 1.0
    reference = white_reference(gain * seen, paper)
    return Lit(reference, beside, by_it=True, warnings=_lamp(seen, paper))


def _by_sheets(
    photo: Photo, light: Floats, sheets: tuple[Sheet, ...], paper: Lab, even: bool
) -> Lit:
    """Correct by all sheets that are well exposed, those near the cloth most."""
    faults = [_fault(photo, light, sheet) for sheet in sheets]
    good = [sheet for sheet, fault in zip(sheets, faults, strict=True) if fault is None]
    if not good:
        return Lit(None, warnings=(PhotoWarning(faults[0]),) if faults[0] else ())
    seen = np.array([light[_core(sheet.mask)].mean(axis=0) for sheet in good])
    mixed = _mixed(seen)
    told = (PhotoWarning(PhotoFault.MIXED_LIGHT),) if mixed > _MIXED else ()
    if mixed > _TOO_MIXED:
        return Lit(None, warnings=told)
    cloth = ~_wider(np.logical_or.reduce([sheet.mask for sheet in sheets]))
    gains = [_gain(light, sheet.mask, cloth) if even else 1.0 for sheet in good]
    say = np.array([_nearness(sheet.mask, cloth) for sheet in good])
    white = (say * gains) @ seen / say.sum()
    try:
        reference = white_reference(white, paper)
    except WhiteError as error:
        fault = error.fault or PhotoFault.PAPER_BRIGHT
        return Lit(None, warnings=(PhotoWarning(fault),))
    return Lit(reference, by_it=True, warnings=(*told, *_lamp(seen[0], paper)))


def _fault(photo: Photo, light: Floats, sheet: Sheet) -> PhotoFault | None:
    """Tell why a sheet can't be trusted, None where it can."""
    if _is_clipped(photo, box_of(sheet.mask), sheet.mask):
        return PhotoFault.PAPER_BRIGHT
    try:
        white_reference(light[_core(sheet.mask)].mean(axis=0))
    except WhiteError as error:
        return error.fault
    return None


def _mixed(seen: Floats) -> float:
    """Return how much the tints of sheets differ at most: a* and b* at one lightness."""
    tint = light_to_lab(0.7 * seen / seen.max(axis=-1, keepdims=True))[:, 1:]
    return float(np.hypot(*np.moveaxis(tint[:, None] - tint[None], -1, 0)).max())


def _nearness(sheet: Mask, cloth: Mask) -> float:
    """Return the mean inverse square of the distance from a sheet's middle to the cloth."""
    y, x = np.argwhere(sheet).mean(axis=0)
    rows, columns = np.nonzero(cloth)
    return float((1 / (1 + (rows - y) ** 2 + (columns - x) ** 2)).mean())


def _lamp(seen: Floats, paper: Lab) -> tuple[PhotoWarning, ...]:
    """Tell light so strongly coloured that some dyes cannot be told apart in it."""
    tint = light_to_lab(seen / seen.max())[1:] - (paper.a, paper.b)
    strong = np.hypot(*tint) > _STRONG_TINT
    return (PhotoWarning(PhotoFault.COLOURED_LIGHT),) if strong else ()


def _mean(photo: Photo, box: Box) -> Floats:
    """Mean light of every pixel in a box, shape (3,)."""
    part = replace(cropped(photo, box), mask=None)
    return mean_light(histogram(part), photo.meaning)


def _is_clipped(photo: Photo, box: Box, sheet: Mask | None) -> bool:
    """Whether too many pixels in a box, or in the sheet in it, are at their upper end."""
    mask = None
    if sheet is not None:
        left, top, right, bottom = box.pixels(sheet.shape[1], sheet.shape[0])
        mask = as_image(sheet[top:bottom, left:right])
    part = replace(cropped(photo, box), mask=None)
    if mask is not None:
        part = replace(part, mask=mask.resize(part.pixels.size, Image.Resampling.NEAREST))
    return bool(histogram(part)[:, 254:].sum(axis=1).max() > _MOST_CLIPPED)


def as_image(mask: Mask) -> Image.Image:
    """Return a mask as an image, mode L: 255 where it is set."""
    return Image.fromarray(np.where(mask, 255, 0).astype(np.uint8))


def _gain(light: Floats, paper: Mask, cloth: Mask) -> float:
    """How many times better lit the cloth is than the paper."""
    field = falling_light(light, paper | cloth)
    gain = float(field[cloth].mean() / field[paper].mean())
    return min(max(gain, 1 / _MOST_EVENED), _MOST_EVENED)


def _scaled(size: tuple[int, int]) -> tuple[int, int]:
    times = max(1, round(max(size) / SIDE))
    return -(-size[0] // times), -(-size[1] // times)


def _marked(box: Box, width: int, height: int) -> Mask:
    left, top, right, bottom = box.pixels(width, height)
    mask = np.zeros((height, width), np.bool_)
    mask[top:bottom, left:right] = True
    return mask


def _core(sheet: Mask) -> Mask:
    """Return the inside of a sheet, all of it where it is narrow."""
    from scipy.ndimage import binary_erosion  # slow to load, and most photos show no paper

    core = np.asarray(binary_erosion(sheet, iterations=2, border_value=1), np.bool_)
    return core if core.any() else sheet


def _wider(mask: Mask) -> Mask:
    from scipy.ndimage import binary_dilation

    return np.asarray(binary_dilation(mask, iterations=_AROUND), np.bool_)
