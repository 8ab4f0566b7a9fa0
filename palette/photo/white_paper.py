"""Colours as they are in daylight, by something in the photo whose colour is known.

White paper tells the tint and the strength of the light: what it is too yellow
or too dark, everything beside it is as well. The light is adapted to D65 by the
Sharp transform, and paper gets the lightness it has. A chart of several known
patches tells more, also where the camera errs, and fits a 3 x 3 matrix.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Literal

import numpy as np

from palette.colour import (
    Floats,
    Lab,
    adaptation,
    lab_to_light,
)
from palette.fabric import PhotoFault
from palette.photo.box import Box
from palette.photo.open import PhotoError
from palette.photo.reference import Reference

PAPER = Lab(87.0, 1.0, -6.0)
"""White paper unless told otherwise (office and drawing paper: L* 93 to 96; common practice)."""

CLIPPED = 0.97
"""Light of a channel from which on the camera may have cut it off."""
_DARKEST = 0.04
"""Light of paper below which noise tints the reference."""
_FEWEST_PATCHES = 6
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


def _reference(matrix: Floats, how: Literal["white", "chart"]) -> Reference:
    first, second, third = (
        (float(row[0]), float(row[1]), float(row[2])) for row in np.round(matrix, 6)
    )
    return Reference((first, second, third), how)
