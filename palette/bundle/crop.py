"""Cut fabrics out of the photo of a bundle, seen straight on and true to scale."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from palette.photo.quad import Point, Quad, projection

if TYPE_CHECKING:
    from palette.bundle.result import Found
    from palette.photo.open import Photo


@dataclass(frozen=True, slots=True)
class Ruler:
    """Something of known length in the photo, lying flat beside the fabrics.

    Raises
    ------
    ValueError
        If its ends are the same or its length is not above 0.
    """

    start: Point
    """Where it begins, parts of the photo's width and height."""
    end: Point
    """Where it ends."""
    inches: float
    """Its length."""

    def __post_init__(self) -> None:
        if self.start == self.end or self.inches <= 0:
            raise ValueError(
                f"a ruler needs two ends and a length, not {self.start}, {self.end} and "
                f"{self.inches:g}; mark both ends"
            )


def cut(photo: Photo, found: Found, number: int) -> Photo:
    """Cut the part of a piece that is sure to show it out of the photo, seen straight on.

    The photo may have another size than the one the piece was found in.
    """
    width, height = photo.pixels.size
    quad = found.inner(number)
    across, down = (max(1, round(side)) for side in quad.sides(width, height))
    pixels = _straightened(photo.pixels, quad, across, down, Image.Resampling.BICUBIC)
    mask = photo.mask and _straightened(photo.mask, quad, across, down, Image.Resampling.NEAREST)
    return replace(photo, pixels=pixels, mask=mask)


def shown(found: Found, number: int, *, edge: float | None, ruler: Ruler | None) -> float | None:
    """Tell how many inches of cloth the cut of a piece shows across; None if no size is known.

    Parameters
    ----------
    found, number : Found, int
        The piece.
    edge : float | None
        Length of a pre-cut's upper edge in inches.
    ruler : Ruler | None
        Something of known length in the photo; it goes before the edge.
    """
    size = (found.width, found.height)
    across, _ = found.inner(number).sides(*size)
    if ruler is not None:
        ends = (np.array(ruler.end) - ruler.start) * size
        return float(across * ruler.inches / np.hypot(*ends))
    if edge is not None:
        whole, _ = found.piece(number).quad.sides(*size)
        return across * edge / whole
    return None


def _straightened(
    image: Image.Image, quad: Quad, across: int, down: int, how: Image.Resampling
) -> Image.Image:
    corners = np.array([[0, 0], [across, 0], [across, down], [0, down]], dtype=np.float64)
    matrix = projection(corners, quad.array() * image.size)
    eight = tuple(matrix.ravel()[:8])
    return image.transform((across, down), Image.Transform.PERSPECTIVE, eight, how)
