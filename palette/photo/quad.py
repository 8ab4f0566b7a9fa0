"""Four corners in a photo, and the flat piece of cloth they stand for.

A flat piece seen at a slant is a quadrilateral; the projective map between the
unit square and its corners undoes the slant (Hartley & Zisserman 2004, Multiple
View Geometry, 2.3).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from palette.colour import Floats

Point = tuple[float, float]
"""Part of the photo's width from the left, part of its height from the top."""

_SMALLEST = 1e-5
"""Least area of a quadrilateral, part of the photo."""
SQUARE = np.array([[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])
"""Corners of the flat piece: clockwise from the top left, shape (4, 2)."""


@dataclass(frozen=True, slots=True)
class Quad:
    """A four-sided piece in a photo.

    Raises
    ------
    ValueError
        If a corner lies outside the photo, or the corners do not go clockwise
        round a shape without dents.
    """

    corners: tuple[Point, Point, Point, Point]
    """Top left, top right, bottom right, bottom left of the piece."""

    def __post_init__(self) -> None:
        points = self.array()
        if not ((points >= 0) & (points <= 1)).all():
            raise ValueError(
                f"a corner lies outside the photo: {self.corners}; give parts of its width and "
                "height, 0 to 1"
            )
        turns = _turns(points)
        if (turns > 0).sum() == 2:
            raise ValueError(
                f"the outline {self.corners} crosses itself; give the corners in order round the "
                "piece: top left, top right, bottom right, bottom left"
            )
        if turns.min() <= 0 or self.area < _SMALLEST:
            raise ValueError(
                f"the corners {self.corners} enclose no proper piece; give top left, top right, "
                "bottom right and bottom left, so that no corner dents the shape"
            )

    @classmethod
    def given(cls, points: Iterable[Sequence[float]]) -> Quad:
        """Make a quadrilateral of four points as they are."""
        first, second, third, fourth = ((float(x), float(y)) for x, y in points)
        return cls((first, second, third, fourth))

    @classmethod
    def of(cls, points: Floats) -> Quad:
        """Make a quadrilateral of an array of four points, shape (4, 2), put inside the photo."""
        return cls.given(np.round(np.clip(points, 0.0, 1.0), 5))

    @classmethod
    def of_pixels(cls, points: Floats, width: int, height: int) -> Quad:
        """Make a quadrilateral of four points in pixels, in any turn, clockwise."""
        parts = points / [width, height]
        first = int((points - points.mean(axis=0)).sum(axis=1).argmin())
        return cls.of(np.roll(parts, -first, axis=0))

    def array(self) -> Floats:
        """Return the corners, shape (4, 2)."""
        return np.array(self.corners, dtype=np.float64)

    @property
    def area(self) -> float:
        """Part of the photo that it covers."""
        x, y = self.array().T
        return float(abs(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2)

    @property
    def middle(self) -> Point:
        """Where the diagonals cross: the middle of the flat piece."""
        ((x, y),) = self.seen(np.array([[0.5, 0.5]]))
        return float(x), float(y)

    def seen(self, points: Floats) -> Floats:
        """Give where points of the flat piece, 0 to 1 across and down, appear in the photo."""
        flat = np.column_stack([points, np.ones(len(points))]) @ projection(SQUARE, self.array()).T
        return np.asarray(flat[:, :2] / flat[:, 2:])

    def holds(self, point: Point) -> bool:
        """Tell whether a point of the photo lies in it."""
        corners = self.array()
        sides, to = np.roll(corners, -1, axis=0) - corners, np.array(point) - corners
        return bool((sides[:, 0] * to[:, 1] - sides[:, 1] * to[:, 0] >= 0).all())

    def part(self, left: float, top: float, right: float, bottom: float) -> Quad:
        """Cut a rectangle out of the flat piece; sides as parts of it, 0 to 1."""
        box = np.array([[left, top], [right, top], [right, bottom], [left, bottom]])
        return Quad.of(self.seen(box))

    def sides(self, width: int, height: int) -> tuple[float, float]:
        """Give the mean length across and down in pixels of a photo of that size."""
        points = self.array() * [width, height]
        top, right, bottom, left = np.hypot(*(np.roll(points, -1, axis=0) - points).T)
        return float(top + bottom) / 2, float(left + right) / 2


def projection(before: Floats, after: Floats) -> Floats:
    """Find the projective map, shape (3, 3), that takes four points to four others."""
    rows = []
    for (x, y), (u, v) in zip(before, after, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y])
    eight = np.linalg.solve(np.array(rows), after.reshape(-1))
    return np.asarray(np.append(eight, 1.0).reshape(3, 3))


def _turns(points: Floats) -> Floats:
    """How sharply the outline turns at each corner; all above 0 if clockwise without dents."""
    sides = np.roll(points, -1, axis=0) - points
    before = np.roll(sides, 1, axis=0)
    return np.asarray(before[:, 0] * sides[:, 1] - before[:, 1] * sides[:, 0])
