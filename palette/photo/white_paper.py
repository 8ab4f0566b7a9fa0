"""Colours as they are in daylight, by something in the photo whose colour is known.

White paper tells the tint and the strength of the light: what it is too yellow
or too dark, everything beside it is as well. The light is adapted to D65 by the
Sharp transform, and paper gets the lightness it has. A chart of several known
patches tells more, also where the camera errs, and fits a 3 x 3 matrix.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from itertools import product
from typing import Literal

import numpy as np

from palette.colour import (
    Floats,
    Lab,
    adaptation,
    difference,
    lab_to_light,
    light_to_lab,
)
from palette.fabric import PhotoFault
from palette.photo.box import Box
from palette.photo.open import PhotoError
from palette.photo.paper_kind import PAPER
from palette.photo.reference import Curve, Reference

CLIPPED = 0.97
"""Light of a channel from which on the camera may have cut it off."""
_DARKEST = 0.04
"""Light of paper below which noise tints the reference."""
_FEWEST_PATCHES = 6
_SLOPES = np.arange(0.6, 1.61, 0.1).tolist()
_BENDS = np.arange(-0.16, 0.161, 0.04).tolist()
"""Of the curves tried for a chart."""
_RIDGE = 0.003
"""How much a 3 x 3 leans to no mixing, part of the strength of the patches."""
_LEAST_SPREAD = 0.02
"""Least of the singular values of a chart's patches, part of the largest."""


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
    """Fit the reference to patches of known colours: one smooth curve and a 3 x 3.

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
    Cameras bend what they saw to please: greys too light, shades too dark. The curve, a
    quadratic in the logarithm of light, undoes it; of a grid of curves that one is taken with
    which the 3 x 3 leaves least (CIEDE2000). The 3 x 3 is a least squares fit in light, each patch
    weighted by how steeply Lab climbs with light there, so that dark patches count as eyes
    count them; it leans a little to no mixing of channels (ridge).
    """
    good = (seen.max(axis=-1) < CLIPPED) & (seen.min(axis=-1) > 0)
    if good.sum() < _FEWEST_PATCHES:
        raise WhiteError(
            f"only {good.sum()} patches of the chart are exposed so that they can be used, and "
            f"{_FEWEST_PATCHES} are needed; mark more of them, or expose the photo anew"
        )
    seen = seen[good]
    strength = np.linalg.svd(seen / seen.mean(), compute_uv=False)
    if strength[-1] < _LEAST_SPREAD * strength[0]:
        raise WhiteError(
            "the patches of the chart are too much alike to tell how the camera sees colours; "
            "mark red, green and blue ones too, or use white paper"
        )
    return _fitted(seen, known[good])


def _fitted(seen: Floats, known: Floats) -> Reference:
    wanted = lab_to_light(known)
    ends = float(seen.min()), float(seen.max())
    tried = []
    for slope, bend in product(_SLOPES, _BENDS):
        curve = Curve(slope, bend, *ends)
        if curve.is_rising():
            light = curve.straight(seen)
            matrix = _mixed(light, wanted)
            left = np.square(difference(light_to_lab(light @ matrix.T), known)).mean()
            tried.append((float(left), curve, matrix))
    _, curve, matrix = min(tried, key=lambda one: one[0])
    return replace(_reference(matrix, "chart"), curve=curve)


def _mixed(seen: Floats, wanted: Floats) -> Floats:
    """Return the 3 x 3, rows for red, green and blue, that takes light nearest to the wanted."""
    weight = np.maximum(wanted @ (0.2126, 0.7152, 0.0722), 0.01)[:, None] ** (-2 / 3)
    seen, wanted = seen * weight, wanted * weight
    plain = np.diag((seen * wanted).sum(axis=0) / np.square(seen).sum(axis=0))
    square = seen.T @ seen
    lean = _RIDGE * np.trace(square) / 3 * np.eye(3)
    return np.asarray((plain + np.linalg.solve(square + lean, seen.T @ (wanted - seen @ plain))).T)


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


def _reference(matrix: Floats, how: Literal["white", "chart"]) -> Reference:
    first, second, third = (
        (float(row[0]), float(row[1]), float(row[2])) for row in np.round(matrix, 6)
    )
    return Reference((first, second, third), how)
