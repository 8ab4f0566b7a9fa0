"""What corrects an opened photo, and the part of it that is left for the cloth."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from palette.colour import Floats, Lab, light_to_lab
from palette.fabric import PhotoFault, PhotoWarning
from palette.photo.box import Box
from palette.photo.light import falling_light
from palette.photo.open import Photo, cropped, histogram, light_of, reduced
from palette.photo.reduce import mean_light
from palette.photo.reference import Reference
from palette.photo.white_paper import (
    PAPER,
    Patch,
    WhiteError,
    chart_reference,
    find_paper,
    spread_of_paper,
    white_reference,
)

White = Reference | Box | tuple[Patch, ...] | Literal["auto"] | None
"""What colours are corrected by (see read)."""

_SIDE = 160
"""Longer side of the pixels that paper is looked for in."""
_SURE = 0.2
"""Part of paper and patches left out along each edge, where they may be turned or shaded."""
_MARGIN = 0.02
"""Part of the photo left out around paper: its shadow and its blurred edge."""
_MOST_CLIPPED = 0.02
"""Part of the paper that may be over-exposed."""
_STRONG_TINT = 30.0
"""Chroma of white paper in the photo from which on the light is strongly coloured."""
_MOST_EVENED = 1.4
"""Times that paper may be taken to be better lit than the cloth, or worse."""


@dataclass(frozen=True, slots=True, eq=False)
class Lit:
    """A photo with what corrects it."""

    cloth: Photo
    """The part that shows cloth."""
    reference: Reference | None
    """What corrects it; None leaves it as it is."""
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
    """Find what corrects a photo and cut it out.

    Parameters
    ----------
    photo : Photo
        An opened photo of cloth and, beside it, white paper or a chart.
    white, paper : White, Lab
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
    if white is None or isinstance(white, Reference):
        return Lit(photo, white)
    if isinstance(white, tuple):
        return _by_chart(photo, white)
    small = reduced(photo, max(1, round(max(photo.pixels.size) / _SIDE)))
    light, _ = light_of(small)
    if isinstance(white, Box):
        return _by_paper(photo, light, white, spread_of_paper(light, white), paper, even)
    found = find_paper(light)
    if found is None:
        return Lit(photo, otherwise)
    try:
        return _by_paper(photo, light, found.shrunk(_SURE), found, paper, even)
    except WhiteError as error:
        warnings = () if error.fault is None else (PhotoWarning(error.fault),)
        return Lit(cropped(photo, found.rest(_MARGIN)), None, warnings)


def _by_chart(photo: Photo, chart: tuple[Patch, ...]) -> Lit:
    if not chart:
        raise WhiteError("the chart has no patches; give where each lies and its colour")
    seen = np.array([_mean(photo, patch.box.shrunk(_SURE)) for patch in chart])
    known = np.array([patch.colour.array() for patch in chart])
    around = Box.around_all([patch.box for patch in chart])
    return Lit(cropped(photo, around.rest(_MARGIN)), chart_reference(seen, known))


def _by_paper(photo: Photo, light: Floats, place: Box, whole: Box, paper: Lab, even: bool) -> Lit:
    """Correct by the paper in a place that is part of the whole of it."""
    _check_exposure(photo, place)
    rest = whole.rest(_MARGIN)
    gain = _gain(light, place, rest) if even else 1.0
    seen = _mean(photo, place)
    reference = white_reference(gain * seen, paper)
    return Lit(cropped(photo, rest), reference, _lamp(seen, paper))


def _lamp(seen: Floats, paper: Lab) -> tuple[PhotoWarning, ...]:
    """Tell light so strongly coloured that some dyes cannot be told apart in it."""
    tint = light_to_lab(seen / seen.max())[1:] - (paper.a, paper.b)
    strong = np.hypot(*tint) > _STRONG_TINT
    return (PhotoWarning(PhotoFault.COLOURED_LIGHT),) if strong else ()


def _mean(photo: Photo, box: Box) -> Floats:
    """Mean light of every pixel in a box, shape (3,)."""
    part = replace(cropped(photo, box), mask=None)
    return mean_light(histogram(part), photo.meaning)


def _check_exposure(photo: Photo, box: Box) -> None:
    seen = histogram(replace(cropped(photo, box), mask=None))
    if seen[:, 254:].sum(axis=1).max() > _MOST_CLIPPED:
        raise WhiteError(
            "the white paper is over-exposed, so its tint cannot be told; tap it on the phone "
            "before taking the photo, or choose less exposure",
            PhotoFault.PAPER_BRIGHT,
        )


def _gain(light: Floats, paper: Box, cloth: Box) -> float:
    """How many times better lit the cloth is than the paper."""
    height, width = light.shape[:2]
    counts = np.zeros((height, width), dtype=np.bool_)
    places = [_slices(box, width, height) for box in (paper, cloth)]
    for place in places:
        counts[place] = True
    field = falling_light(light, counts)
    gain = float(field[places[1]].mean() / field[places[0]].mean())
    return min(max(gain, 1 / _MOST_EVENED), _MOST_EVENED)


def _slices(box: Box, width: int, height: int) -> tuple[slice, slice]:
    left, top, right, bottom = box.pixels(width, height)
    return slice(top, bottom), slice(left, right)
