"""What corrects the colours of a photo, as a value that can be kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

if TYPE_CHECKING:
    from palette.colour import Floats


_ABOUT = 0.2
"""Light about which a curve turns."""
_FLATTEST = 0.2
"""Least slope of a curve."""


@dataclass(frozen=True, slots=True)
class Curve:
    """A smooth curve that a camera bent light by, undone: a quadratic in the log of light.

    Below and above the light it was fitted to it goes on in proportion.
    """

    slope: float
    """Of log light about a fifth."""
    bend: float
    """Change of that slope, by half."""
    least: float
    """Darkest light it was fitted to."""
    most: float
    """Brightest."""

    def is_rising(self) -> bool:
        """Whether more light stays more light everywhere."""
        ends = np.log(np.array([self.least, self.most]) / _ABOUT)
        return bool((self.slope + 2 * self.bend * ends).min() > _FLATTEST)

    def straight(self, light: Floats) -> Floats:
        """Undo the bending of light of any shape."""
        known = np.clip(light, self.least, self.most)
        log = np.log(known / _ABOUT)
        return np.asarray(_ABOUT * np.exp((self.slope + self.bend * log) * log) * light / known)


@dataclass(frozen=True, slots=True)
class Reference:
    """How light in a photo is turned into light as it is in daylight.

    It can be used for all photos taken in the same light with the same settings.
    """

    matrix: tuple[tuple[float, float, float], ...]
    """Three rows: corrected red, green and blue from those of the photo."""
    how: Literal["white", "chart"]
    """What it was taken from."""
    curve: Curve | None = None
    """What is undone of the camera before that."""

    def __post_init__(self) -> None:
        values = np.array(self.matrix)
        if values.shape != (3, 3) or not np.isfinite(values).all():
            raise ValueError(f"a reference needs 3 x 3 finite numbers, not {self.matrix}")

    def correct(self, light: Floats) -> Floats:
        """Correct light of shape (..., 3)."""
        straight = light if self.curve is None else self.curve.straight(light)
        return np.asarray(straight @ np.array(self.matrix).T)
