"""A block taken apart into what is sewn: strip-set segments, triangle units, single patches.

Words used here
---------------
segment : a slice of a strip set, a row of whole patches of one height.
unit : triangles sewn into a square or a goose (half-square, quarter-square,
    flying goose).
level : the block is split along full-length seams, by turns across and down;
    a part that no full-length seam splits needs a partial seam.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from placement.block import GEESE, Block, Patch

if TYPE_CHECKING:
    from collections.abc import Sequence

Axis = Literal["rows", "columns"]


@dataclass(frozen=True, slots=True)
class Segment:
    """A slice of a strip set; sizes are finished parts of the block's side."""

    strips: tuple[tuple[Fraction, str], ...]
    """Width and role of each strip, in the order that sorts first of the two directions."""
    sub_cut: Fraction
    """Finished width of the slice."""


class UnitKind(StrEnum):
    """How triangles make a unit."""

    HALF = "half"
    """Two right triangles make a square."""
    QUARTER = "quarter"
    """Four make one."""
    GOOSE = "goose"
    """A large one between two small ones makes a rectangle."""
    HALF_RECTANGLE = "half rectangle"
    """Two right triangles make a rectangle."""


@dataclass(frozen=True, slots=True)
class Unit:
    """Triangles sewn into one square or goose."""

    kind: UnitKind
    """How it is built."""
    width: Fraction
    """Finished width, a part of the block's side."""
    height: Fraction
    """Finished height; width / 2 for a goose."""
    roles: str
    """Roles of its parts: two for a half, four for a quarter, large then small for a goose."""


@dataclass(frozen=True, slots=True)
class Lie:
    """How a unit lies in the block."""

    cut: str
    """The patch's cut: '/', '\\', 'x', or where a goose points."""
    roles: str
    """The patch's roles."""


@dataclass(frozen=True, slots=True)
class Takedown:
    """What one block is made of, with counts."""

    segments: Counter[Segment] = field(default_factory=Counter)
    """Strip-set slices."""
    units: Counter[Unit] = field(default_factory=Counter)
    """Triangle units."""
    lies: dict[Unit, Counter[Lie]] = field(default_factory=dict)
    """How the units of each kind lie in the block: what a print with an up needs."""
    singles: Counter[tuple[str, Fraction, Fraction]] = field(default_factory=Counter)
    """Whole patches cut one by one: role, width, height."""
    partial: int = 0
    """Parts that no full-length seam splits."""


def take_down(block: Block) -> Takedown:
    """Take a block apart, first across or first down, whichever makes fewer kinds of strips."""
    return min(_ways(block).values(), key=_effort)


def first_axis(block: Block) -> Axis:
    """Return which way a block is split first, and so which seams are sewn last."""
    ways = _ways(block)
    return min(ways, key=lambda axis: _effort(ways[axis]))


def _ways(block: Block) -> dict[Axis, Takedown]:
    axes: tuple[Axis, ...] = ("rows", "columns")
    ways = {}
    for first in axes:
        found = Takedown()
        partial = _split(block.patches, first, found)
        ways[first] = replace(found, partial=partial)
    return ways


def _effort(way: Takedown) -> tuple[int, int, int]:
    strips = sum(len(segment.strips) for segment in way.segments)
    return way.partial, sum(way.singles.values()), strips


def _split(patches: Sequence[Patch], axis: Axis, found: Takedown, stuck: bool = False) -> int:
    """Split along full-length seams and record what is found; return partial-seam parts."""
    if len(patches) == 1:
        _record(patches[0], found)
        return 0
    parts = parts_between_seams(patches, axis)
    other: Axis = "columns" if axis == "rows" else "rows"
    if len(parts) == 1:
        if stuck:
            for patch in patches:
                _record(patch, found)
            return 1
        return _split(patches, other, found, stuck=True)
    if all(len(part) == 1 and part[0].cut == "" for part in parts):
        _record_segment([part[0] for part in parts], axis, found)
        return 0
    return sum(_split(part, other, found) for part in parts)


def parts_between_seams(patches: Sequence[Patch], axis: Axis) -> list[list[Patch]]:
    """Group patches between full-length seams: 'rows' lie one below the other."""

    def span(patch: Patch) -> tuple[Fraction, Fraction]:
        if axis == "rows":
            return patch.top, patch.top + patch.height
        return patch.left, patch.left + patch.width

    parts: list[list[Patch]] = []
    reach = Fraction(-1)
    for patch in sorted(patches, key=lambda patch: (span(patch), patch.left, patch.top)):
        start, end = span(patch)
        if start >= reach:
            parts.append([])
        parts[-1].append(patch)
        reach = max(reach, end)
    return parts


def _record_segment(patches: Sequence[Patch], axis: Axis, found: Takedown) -> None:
    if axis == "rows":
        strips = tuple((patch.height, patch.roles) for patch in patches)
        sub_cut = patches[0].width
    else:
        strips = tuple((patch.width, patch.roles) for patch in patches)
        sub_cut = patches[0].height
    found.segments[Segment(min(strips, strips[::-1]), sub_cut)] += 1


def _record(patch: Patch, found: Takedown) -> None:
    if patch.cut == "":
        found.singles[(patch.roles, patch.width, patch.height)] += 1
        return
    unit = unit_of(patch)
    found.units[unit] += 1
    found.lies.setdefault(unit, Counter())[Lie(patch.cut, patch.roles)] += 1


def unit_of(patch: Patch) -> Unit:
    """Return the unit that a patch of several triangles is.

    Parameters
    ----------
    patch : Patch
        A patch that is cut.
    """
    if patch.cut in GEESE:
        sides = max(patch.width, patch.height), min(patch.width, patch.height)
        return Unit(UnitKind.GOOSE, *sides, patch.roles[:2])
    if patch.cut == "x":
        turns = (patch.roles[turn:] + patch.roles[:turn] for turn in range(4))
        return Unit(UnitKind.QUARTER, patch.width, patch.height, min(turns))
    square = patch.width == patch.height
    kind = UnitKind.HALF if square else UnitKind.HALF_RECTANGLE
    return Unit(kind, patch.width, patch.height, "".join(sorted(patch.roles)))
