"""A drawing as values: pieces of cloth in inches, from the top left corner, y downwards.

Words used here
---------------
piece : one polygon of cloth as it shows in the finished quilt, without seam allowance.
grain : how far the cloth of a piece is turned, in degrees clockwise as seen.
place : where on its cloth a piece is cut, so that two pieces of one fabric differ.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from palette.colour import Lab, to_srgb
from palette.eyes import Eyes, seen_by

Point = tuple[float, float]

MOST_REPEATS = 250
"""Of a cloth's picture across a drawing: on a screen each would be a few pixels wide."""

Role = Literal[
    "patch",
    "plain block",
    "side triangle",
    "corner triangle",
    "sashing",
    "cornerstone",
    "border",
    "binding",
]  # what a piece is in the quilt

View = Literal["cloth", "flat", "grey", "protan", "deutan", "tritan"]
VIEWS: tuple[View, ...] = ("cloth", "flat", "grey", "protan", "deutan", "tritan")
_EYES = tuple(Eyes)
"""Photographed cloth; the colours that fabrics read as; their lightness alone."""

BARE = Lab(94.0, 0.0, 0.0)
"""What stands in for a background that is not chosen yet: a neutral light grey."""


@dataclass(frozen=True, slots=True)
class Shape:
    """One polygon of cloth."""

    points: tuple[Point, ...]
    """Corners of a convex polygon, clockwise as seen, in inches."""
    fabric: str
    """Id of its cloth; '' while no background is chosen."""
    role: Role
    """What it is in the quilt."""
    cell: int | None = None
    """Index into setting.cells() if it belongs to a block that takes a fabric."""
    grain: float = 0.0
    """How far the cloth is turned, degrees clockwise."""
    place: Point = (0.0, 0.0)
    """Where on the cloth it is cut: parts of the room there is across and down, 0 to 1."""


@dataclass(frozen=True, slots=True)
class Material:
    """What a drawing needs to know about a fabric."""

    id: str
    """The fabric's id."""
    name: str
    """What people call it."""
    picture: str
    """Name of its picture among the pictures handed to a drawing."""
    shows: float
    """Width of cloth the picture shows, in inches."""
    colour: Lab
    """The colour it reads as."""


@dataclass(frozen=True, slots=True)
class Scene:
    """A whole drawing, ready for any form."""

    title: str
    """Name of what is drawn."""
    words: str
    """What is to be seen, for those who do not see it."""
    width: float
    """Inches."""
    height: float
    """Inches."""
    pieces: tuple[Shape, ...]
    """Every piece; together they cover the drawing exactly once. A block's stand together."""
    cloths: tuple[Material, ...]
    """Every fabric that lies in the drawing, each once."""
    labels: tuple[str, ...] = ()
    """What each cell is called, by its index."""

    def pattern_shows(self, cloth: Material) -> bool:
        """Tell whether a cloth's picture is large enough to be seen in the whole drawing.

        Repeats of a smaller one blend to the colour it reads as, so that is drawn instead.
        """
        return cloth.shows * MOST_REPEATS >= max(self.width, self.height)

    def colours(self, view: View) -> dict[str, tuple[int, int, int]]:
        """Return red, green and blue (0 to 255) of each fabric id and of '' in a view."""
        labs = {"": BARE} | {cloth.id: cloth.colour for cloth in self.cloths}
        if view in _EYES:
            blind = {name: seen_by(lab.array(), Eyes(view)) for name, lab in labs.items()}
            return {name: to_srgb(Lab.rounded(lab)) for name, lab in blind.items()}
        return {name: grey(lab) if view == "grey" else to_srgb(lab) for name, lab in labs.items()}


def grey(colour: Lab) -> tuple[int, int, int]:
    """Return the neutral grey of the same L*."""
    level = to_srgb(Lab(colour.lightness, 0.0, 0.0))[1]
    return level, level, level


def check_view(view: str) -> View:
    """Return the view, or raise ValueError with the views there are."""
    for known in VIEWS:
        if view == known:
            return known
    raise ValueError(f"there is no view {view!r}; choose one of {', '.join(VIEWS)}")


def seams(scene: Scene) -> tuple[tuple[Point, Point], ...]:
    """Return every edge of every piece once, in order of first appearance, in inches."""
    found: dict[tuple[Point, Point], None] = {}
    for piece in scene.pieces:
        corners = [(round(x, 4), round(y, 4)) for x, y in piece.points]
        for first, second in zip(corners, corners[1:] + corners[:1], strict=True):
            found[min(first, second), max(first, second)] = None
    return tuple(found)
