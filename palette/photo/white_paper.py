"""Colours as they are in daylight, by something in the photo whose colour is known.

White paper tells the tint and the strength of the light: what it is too yellow
or too dark, everything beside it is as well. The light is adapted to D65 by the
Sharp transform, and paper gets the lightness it has. A chart of several known
patches tells more, also where the camera errs, and fits a 3 x 3 matrix.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

from palette.colour import (
    Floats,
    Lab,
    adaptation,
    lab_to_light,
    light_to_lab,
)
from palette.fabric import PhotoFault
from palette.photo.box import Box
from palette.photo.open import PhotoError
from palette.photo.reference import Reference

if TYPE_CHECKING:
    from numpy.typing import NDArray

PAPER = Lab(95.0, 0.0, 0.0)
"""White paper unless told otherwise (office and drawing paper: L* 93 to 96; common practice)."""

CLIPPED = 0.97
"""Light of a channel from which on the camera may have cut it off."""
_DARKEST = 0.04
"""Light of paper below which noise tints the reference."""
_FEWEST_PATCHES = 6
_LEAST_SPREAD = 0.02
"""Least of the singular values of a chart's patches, part of the largest."""

_SIDE = 128
"""Longer side of the pixels paper is looked for in."""
_SIZE = (0.004, 0.4)
"""Part of the photo that paper may cover to be found without being marked."""
_BRIGHT = 0.8
"""Paper reflects at least this part of the brightest in every channel."""
_PLAIN = 0.06
"""Largest change of light from pixel to pixel within paper, as a part."""
_SPREAD = 0.05
"""Largest deviation of light within paper, as a part."""
_FILLS = 0.85
"""Paper fills at least this part of the smallest upright or turned rectangle around it."""
_RECURS = 0.1
"""If as much again, part of the largest, looks the same, it is print and no paper."""
_GREENISH, _YELLOWISH, _BLUISH = 10.0, 40.0, -25.0
"""Limits of |a*|, b* and b* for white in light that people call white."""
_DIMMEST = 60.0
"""Least L* of paper that is found without being marked."""
_LIKE = 0.12
"""Paper is as far as light stays within this part of that in the marked place."""


@dataclass(frozen=True, slots=True)
class Patch:
    """A patch of a chart."""

    box: Box
    """Where it lies in the photo."""
    colour: Lab
    """Its true colour."""


class WhiteError(PhotoError):
    """A white or chart that cannot be used; the message says what to do.

    Attributes
    ----------
    fault : PhotoFault or None
        What is wrong with white paper, where a photo can be read without it.
    """

    def __init__(self, message: str, fault: PhotoFault | None = None) -> None:
        super().__init__(message)
        self.fault = fault


def white_reference(seen: Floats, paper: Lab = PAPER) -> Reference:
    """Take the reference from white paper, or from a grey or tinted card of known colour.

    Parameters
    ----------
    seen : Floats
        Mean light of the paper in the photo, shape (3,).
    paper : Lab
        Its true colour.

    Raises
    ------
    WhiteError
        If it is too bright or too dark in the photo to tell its colour.
    """
    if seen.max() >= CLIPPED:
        raise WhiteError(
            "the white paper is over-exposed, so its tint cannot be told; tap it on the phone "
            "before taking the photo, or expose less",
            PhotoFault.PAPER_BRIGHT,
        )
    if seen.min() <= 0 or seen.max() < _DARKEST:
        raise WhiteError(
            "the place marked as white is dark; mark white paper, or take the photo in more light",
            PhotoFault.PAPER_DARK,
        )
    return _reference(adaptation(seen, lab_to_light(paper.array())), "white")


def chart_reference(seen: Floats, known: Floats) -> Reference:
    """Fit the reference to patches of known colours.

    Parameters
    ----------
    seen : Floats
        Mean light of each patch in the photo, shape (n, 3).
    known : Floats
        Their Lab colours, shape (n, 3).

    Raises
    ------
    WhiteError
        If there are fewer than 6 patches that can be used, or they are too much alike.

    Notes
    -----
    Least squares in light, each patch weighted by how steeply Lab climbs with
    light there, so that dark patches count as eyes count them.
    """
    good = (seen.max(axis=-1) < CLIPPED) & (seen.min(axis=-1) > 0)
    if good.sum() < _FEWEST_PATCHES:
        raise WhiteError(
            f"only {good.sum()} patches of the chart are exposed so that they can be used, and "
            f"{_FEWEST_PATCHES} are needed; mark more of them, or expose the photo anew"
        )
    seen, wanted = seen[good], lab_to_light(known[good])
    weight = np.maximum(wanted @ (0.2126, 0.7152, 0.0722), 0.01)[:, None] ** (-2 / 3)
    strength = np.linalg.svd(seen / seen.mean(), compute_uv=False)
    if strength[-1] < _LEAST_SPREAD * strength[0]:
        raise WhiteError(
            "the patches of the chart are too much alike to tell how the camera sees colours; "
            "mark red, green and blue ones too, or use white paper"
        )
    columns, *_ = np.linalg.lstsq(seen * weight, wanted * weight, rcond=None)
    return _reference(np.asarray(columns.T, dtype=np.float64), "chart")


def read_chart(text: str | bytes) -> tuple[Patch, ...]:
    """Read where the patches of a chart lie and what colours they have.

    The text is JSON: ``{"patches": [{"box": [0.1, 0.1, 0.15, 0.15], "lab": [96, 0, 2]}, ...]}``.

    Raises
    ------
    WhiteError
        Naming the patch that is wrong.
    """
    try:
        entries = json.loads(text)["patches"]
        numbered = list(enumerate(entries, 1))
    except (ValueError, KeyError, TypeError):
        raise WhiteError(
            'the chart is not readable; write {"patches": [{"box": [left, top, right, bottom], '
            '"lab": [L, a, b]}, ...]} with boxes in parts of the photo'
        ) from None
    return tuple(_patch(number, entry) for number, entry in numbered)


def _patch(number: int, entry: object) -> Patch:
    try:
        if not isinstance(entry, dict):
            raise TypeError("it is not an object with box and lab")
        return Patch(Box(*map(float, entry["box"])), Lab(*map(float, entry["lab"])))
    except (KeyError, TypeError, ValueError) as error:
        raise WhiteError(f"patch {number} of the chart is wrong: {error}") from None


def find_paper(light: Floats) -> Box | None:
    """Find a plain white rectangle beside the cloth in a photo.

    It is the brightest thing in every channel, plain, near white, of straight
    edges, alone of its kind, and does not cover the middle, where the cloth is.

    Parameters
    ----------
    light : Floats
        Light of the photo, shape (height, width, 3).

    Returns
    -------
    Box or None
        Around the paper; None where nothing is surely paper.
    """
    from scipy.ndimage import label

    step = max(1, round(max(light.shape) / _SIDE))
    small = light[::step, ::step]
    areas, count = label(_bright_and_plain(small))
    if not count:
        return None
    sizes = np.bincount(areas.ravel(), minlength=count + 1)[1:]
    largest = int(sizes.argmax())
    if sizes.sum() - sizes[largest] > _RECURS * sizes[largest]:
        return None
    paper = areas == largest + 1
    part = sizes[largest] / areas.size
    if not _SIZE[0] <= part <= _SIZE[1] or not _looks_like_paper(small, paper):
        return None
    return _around(paper)


def spread_of_paper(light: Floats, box: Box) -> Box:
    """Return the box around all of the paper of which a part was marked."""
    from scipy.ndimage import label

    step = max(1, round(max(light.shape) / _SIDE))
    small = light[::step, ::step]
    left, top, right, bottom = box.pixels(small.shape[1], small.shape[0])
    marked = np.median(small[top:bottom, left:right].reshape(-1, 3), axis=0)
    areas, _ = label((np.abs(small / np.maximum(marked, 1e-4) - 1) < _LIKE).all(axis=-1))
    inside = np.unique(areas[top:bottom, left:right])
    paper = np.isin(areas, inside[inside > 0])
    if not paper.any() or paper.mean() > _SIZE[1]:
        return box
    found = _around(paper)
    return Box.around_all((found, box))


def _bright_and_plain(light: Floats) -> NDArray[np.bool_]:
    """Mark pixels as bright as the brightest in every channel whose neighbours are the same."""
    brightest = np.percentile(light.reshape(-1, 3), 99.6, axis=0)
    bright = (light >= _BRIGHT * brightest).all(axis=-1)
    level = np.log(np.maximum(light @ np.ones(3), 1e-4))
    plain = np.ones_like(bright)
    for axis in (0, 1):
        near = np.abs(np.diff(level, axis=axis)) < _PLAIN
        first, last = ((0, 1), (0, 0)), ((1, 0), (0, 0))
        for pad in (first, last):
            plain &= np.pad(near, pad if axis == 0 else pad[::-1], constant_values=True)
    return np.asarray(bright & plain)


def _looks_like_paper(light: Floats, paper: NDArray[np.bool_]) -> bool:
    """Whether an area is white, plain, unclipped, rectangular and beside the middle."""
    seen = light[paper]
    mean = seen.mean(axis=0)
    lightness, a, b = light_to_lab(mean)
    white = lightness >= _DIMMEST and abs(a) <= _GREENISH and _BLUISH <= b <= _YELLOWISH
    plain = (seen.std(axis=0) / mean).max() <= _SPREAD
    height, width = paper.shape
    middle = paper[int(0.4 * height) : -int(0.4 * height), int(0.4 * width) : -int(0.4 * width)]
    across = paper[:, 0].any() and paper[:, -1].any()
    down = paper[0].any() and paper[-1].any()
    return bool(white and plain and not middle.any() and not across and not down) and (
        _filled(paper) >= _FILLS
    )


def _filled(paper: NDArray[np.bool_]) -> float:
    """Part of the smallest rectangle around an area, at any turn, that the area fills."""
    y, x = np.nonzero(paper)
    turns = np.radians(np.arange(0, 90, 3))
    along = np.outer(np.cos(turns), x) + np.outer(np.sin(turns), y)
    aside = np.outer(np.cos(turns), y) - np.outer(np.sin(turns), x)
    # A pixel is a square: a turned one reaches further than 1.
    pixel = np.abs(np.cos(turns)) + np.abs(np.sin(turns))
    return float(len(x) / ((np.ptp(along, axis=1) + pixel) * (np.ptp(aside, axis=1) + pixel)).min())


def _around(area: NDArray[np.bool_]) -> Box:
    rows, columns = np.flatnonzero(area.any(axis=1)), np.flatnonzero(area.any(axis=0))
    height, width = area.shape
    return Box(
        columns[0] / width, rows[0] / height, (columns[-1] + 1) / width, (rows[-1] + 1) / height
    )


def _reference(matrix: Floats, how: Literal["white", "chart"]) -> Reference:
    first, second, third = (
        (float(row[0]), float(row[1]), float(row[2])) for row in np.round(matrix, 6)
    )
    return Reference((first, second, third), how)
