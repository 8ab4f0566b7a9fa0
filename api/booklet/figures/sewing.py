"""The order a block is sewn in: patches and units, then rows or columns, then the block.

It is the order in which placement.units takes the block apart, backwards, so
that what is sewn here is what was cut, and its seams are those that are pressed.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from placement.block import Block, Patch, Point
from placement.inches import Inches
from placement.units import Axis, first_axis, parts_between_seams

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from placement.top.sewing.pressing import Pressing
    from placement.top.sewing.seams import Seam

Kind = Literal["patch", "unit", "segment", "join", "partial"]

Arrow = tuple[Point, tuple[int, int]]
"""Middle of a seam and the direction its allowance is pressed in."""


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the block that is sewn together; lengths are parts of the block's side."""

    kind: Kind
    """A whole patch; a unit of triangles; a row of whole patches, such as a slice of a strip
    set; a row of parts; patches that no full-length seam splits."""
    patches: tuple[Patch, ...]
    """Everything in it."""
    axis: Axis = "rows"
    """'rows' lie one below the other, 'columns' side by side."""
    parts: tuple[Part, ...] = ()
    """What it is sewn from, in order; empty for a patch, a unit and a partial seam."""

    @property
    def left(self) -> Fraction:
        """Left edge."""
        return min(patch.left for patch in self.patches)

    @property
    def top(self) -> Fraction:
        """Top edge."""
        return min(patch.top for patch in self.patches)

    @property
    def width(self) -> Fraction:
        """Finished width."""
        return max(patch.left + patch.width for patch in self.patches) - self.left

    @property
    def height(self) -> Fraction:
        """Finished height."""
        return max(patch.top + patch.height for patch in self.patches) - self.top

    def size(self, block: Inches, seam: Inches) -> tuple[Inches, Inches]:
        """Return width and height with the seam allowance, for a block of that size."""
        return tuple(
            Inches(part * block.value + 2 * seam.value) for part in (self.width, self.height)
        )  # type: ignore[return-value]

    def walk(self) -> Iterator[Part]:
        """Yield every part in it and then itself: the order of sewing."""
        for part in self.parts:
            yield from part.walk()
        yield self


def sewing(block: Block) -> Part:
    """Return a block as parts within parts."""
    return _part(block.patches, first_axis(block))


def _part(patches: Sequence[Patch], axis: Axis, *, stuck: bool = False) -> Part:
    if len(patches) == 1:
        return Part("unit" if patches[0].cut else "patch", tuple(patches))
    groups = parts_between_seams(patches, axis)
    other: Axis = "columns" if axis == "rows" else "rows"
    if len(groups) == 1:
        if stuck:
            return Part("partial", tuple(patches), axis)
        return _part(patches, other, stuck=True)
    parts = tuple(_part(group, other) for group in groups)
    plain = all(part.kind == "patch" for part in parts)
    return Part("segment" if plain else "join", tuple(patches), axis, parts)


@dataclass(frozen=True, slots=True)
class Join:
    """Parts sewn side by side, alike in every block."""

    all: tuple[Part, ...]
    """Every one in the block."""
    arrows: tuple[Arrow, ...]
    """How the first one's own seams are pressed, between one part and the next."""

    @property
    def part(self) -> Part:
        """The first of its kind in the block."""
        return self.all[0]

    @property
    def count(self) -> int:
        """How many a block takes."""
        return len(self.all)


def joins(block: Block, pressing: Pressing, kind: Kind) -> tuple[Join, ...]:
    """Return the parts of a kind in sewing order, those sewn and pressed alike as one."""
    sides = _sides(pressing)
    found: dict[object, list[tuple[Part, tuple[Arrow, ...]]]] = {}
    for part in sewing(block).walk():
        if part.kind == kind:
            arrows = tuple(_arrows(part, sides))
            found.setdefault(_look(part, arrows), []).append((part, arrows))
    return tuple(Join(tuple(part for part, _ in same), same[0][1]) for same in found.values())


def _sides(pressing: Pressing) -> dict[tuple[Point, Point], tuple[int, int]]:
    """Return which way each seam is pressed in the first plan, by its ends."""
    return {
        (seam.start, seam.end): direction(seam, choice)
        for seam, choice in zip(pressing.seams, pressing.plans[0], strict=True)
    }


def direction(seam: Seam, choice: int) -> tuple[int, int]:
    """Return the direction a seam's allowance is pressed in."""
    sign = 1 if choice else -1
    return sign * seam.normal[0], sign * seam.normal[1]


def _arrows(part: Part, sides: dict[tuple[Point, Point], tuple[int, int]]) -> Iterator[Arrow]:
    for _, after in pairwise(part.parts):
        if part.axis == "rows":
            start = part.left, after.top
            end = part.left + part.width, after.top
        else:
            start = after.left, part.top
            end = after.left, part.top + part.height
        if (start, end) in sides:
            centre = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
            yield centre, sides[start, end]


def _look(part: Part, arrows: tuple[Arrow, ...]) -> object:
    """Return what is the same for parts that are sewn alike, whichever way they are turned."""
    middle = part.left + part.width / 2, part.top + part.height / 2
    shapes = [(role, points) for patch in part.patches for role, points in patch.parts()]
    looks = []
    for turn in range(4):
        cloth = frozenset(
            (role, frozenset(_turned(point, middle, turn) for point in points))
            for role, points in shapes
        )
        pressed = frozenset(
            (_turned(at, middle, turn), _turned(way, (Fraction(0), Fraction(0)), turn))
            for at, way in arrows
        )
        looks.append((cloth, pressed))
    return frozenset(looks)


def _turned(point: tuple[Fraction | int, Fraction | int], middle: Point, turn: int) -> Point:
    x, y = Fraction(point[0]) - middle[0], Fraction(point[1]) - middle[1]
    for _ in range(turn):
        x, y = -y, x
    return x, y
