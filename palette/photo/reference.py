"""What corrects the colours of a photo, as a value that can be kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

import numpy as np

if TYPE_CHECKING:
    from palette.colour import Floats


@dataclass(frozen=True, slots=True)
class Reference:
    """How light in a photo is turned into light as it is in daylight.

    It can be used for all photos taken in the same light with the same settings.
    """

    matrix: tuple[tuple[float, float, float], ...]
    """Three rows: corrected red, green and blue from those of the photo."""
    how: Literal["white", "chart"]
    """What it was taken from."""

    def __post_init__(self) -> None:
        values = np.array(self.matrix)
        if values.shape != (3, 3) or not np.isfinite(values).all():
            raise ValueError(f"a reference needs 3 x 3 finite numbers, not {self.matrix}")

    def correct(self, light: Floats) -> Floats:
        """Correct light of shape (..., 3)."""
        return np.asarray(light @ np.array(self.matrix).T)
