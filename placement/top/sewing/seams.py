"""The seams of a block in sewing order, and the junctions where their allowances must oppose.

Words used here
---------------
seam : a line of stitches; pressing chooses the side its allowance lies on.
join : a seam that meets the ends of seams on both of its sides.
junction : a place on a join (or on the edge between two blocks) where a seam
    ends on either side. It nests when the two allowances oppose.
tie : two seams of triangle units that should be pressed alike, toward the same
    role: those of one goose, and best of all units that are made alike.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import hypot
from typing import TYPE_CHECKING, Literal

from placement.block import GEESE, Block, Patch, Point
from placement.units import Axis, first_axis, parts_between_seams

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

Turn = Literal[0, 90, 180]


@dataclass(frozen=True, slots=True)
class Seam:
    """One seam of a block, in parts of the block's side from its top left."""

    start: Point
    """One end."""
    end: Point
    """The other end."""
    normal: tuple[int, int]
    """Direction of choice 1, as signs along x and y; choice 0 is the opposite."""
    roles: tuple[str, str]
    """Roles that lie on the sides of choice 0 and choice 1; '' where they differ along it."""

    @property
    def straight(self) -> bool:
        """Whether it runs along or across the block."""
        return 0 in self.normal

    @property
    def length(self) -> float:
        """Finished length, a part of the block's side."""
        return hypot(self.end[0] - self.start[0], self.end[1] - self.start[1])


@dataclass(frozen=True, slots=True)
class Place:
    """Where seams meet."""

    across: Fraction
    """From the block's left edge, in parts of its side."""
    down: Fraction
    """From its top edge."""
    edge: str = ""
    """Edge to the block beside it, one of EDGES; '' inside the block."""


@dataclass(frozen=True, slots=True)
class Junction:
    """Two seams that meet end to end and must oppose."""

    first: int
    """A choice: seam number, plus the number of seams for the second plan."""
    second: int
    """The other choice."""
    differ: bool
    """Whether the two choices must differ (else be equal) for the allowances to oppose."""
    place: Place
    """Where it is."""


@lru_cache(maxsize=64)
def block_seams(block: Block) -> tuple[tuple[Seam, ...], tuple[Junction, ...]]:
    """Return the seams of a block in sewing order and the junctions inside it."""
    seams: list[Seam] = []
    junctions: list[Junction] = []
    for patch in block.patches:
        if patch.cut == "x":
            where = Place(*patch.parts()[0][1][2])
            junctions.append(Junction(len(seams), len(seams) + 1, True, where))
        seams.extend(_diagonals(patch))
    _sew(block.patches, first_axis(block), seams, junctions, stuck=False)
    return tuple(seams), tuple(junctions)


def ties(block: Block, *, across: bool) -> tuple[Junction, ...]:
    """Tie the two seams of each goose or, across the block, those of all units made alike.

    Made alike are half-square units, and geese, of one size and the same two roles.
    """
    first: dict[object, tuple[int, bool]] = {}
    ties = []
    number = 0
    for patch in block.patches:
        for seam in _diagonals(patch):
            one, other = seam.roles
            if patch.cut != "x" and one != other:
                made = patch.cut in GEESE, frozenset((patch.width, patch.height))
                key = (*made, frozenset(seam.roles)) if across else patch
                leader, ahead = first.setdefault(key, (number, one < other))
                differ = ahead != (one < other)
                ties.append(Junction(leader, number, differ, _middle(patch)))
            number += 1
    return tuple(ties)


def _diagonals(patch: Patch) -> Iterator[Seam]:
    """Yield the diagonal seams of a patch.

    A quartered one is sewn in two pairs, whose short seams meet on the long one.
    """
    left, top = patch.left, patch.top
    right, bottom = left + patch.width, top + patch.height
    roles = patch.roles
    if patch.cut == "/":
        yield Seam((left, bottom), (right, top), (1, 1), (roles[0], roles[1]))
    elif patch.cut == "\\":
        yield Seam((left, top), (right, bottom), (1, -1), (roles[0], roles[1]))
    elif patch.cut == "x":
        up, east, down, west = tuple(roles)
        centre = ((left + right) / 2, (top + bottom) / 2)
        sides = (down if down == west else "", up if up == east else "")
        yield Seam((right, top), centre, (1, 1), (up, east))
        yield Seam(centre, (left, bottom), (1, 1), (west, down))
        yield Seam((left, top), (right, bottom), (1, -1), sides)
    elif patch.cut in GEESE:
        yield from _goose(patch)


def _goose(patch: Patch) -> Iterator[Seam]:
    """Yield the two seams of a goose, each from a corner of its base to its point."""
    (large, corners), *small = patch.parts()
    tip = corners[2]
    for (role, _), corner in zip(small, (corners[1], corners[0]), strict=True):
        falls = (corner[0] > tip[0]) == (corner[1] > tip[1])
        normal = (1, -1) if falls else (1, 1)
        # The third corner of the large triangle tells on which side of the seam it lies.
        other = corners[0] if corner == corners[1] else corners[1]
        ahead = sum(n * (o - t) for n, o, t in zip(normal, other, tip, strict=True)) > 0
        sides = (role, large) if ahead else (large, role)
        yield Seam(corner, tip, normal, sides)


def _sew(
    patches: Sequence[Patch],
    axis: Axis,
    seams: list[Seam],
    junctions: list[Junction],
    *,
    stuck: bool,
) -> None:
    """Sew the parts of a region, deepest first, and note where seams meet on each join."""
    if len(patches) == 1:
        return
    parts = parts_between_seams(patches, axis)
    other: Axis = "columns" if axis == "rows" else "rows"
    if len(parts) == 1:
        if not stuck:
            _sew(patches, other, seams, junctions, stuck=True)
        return
    for part in parts:
        _sew(part, other, seams, junctions, stuck=False)
    for before, after in pairwise(parts):
        join = _join(before, after, axis)
        _meet(join, axis, seams, junctions)
        seams.append(join)


def _join(before: Sequence[Patch], after: Sequence[Patch], axis: Axis) -> Seam:
    roles = (_role_along(before), _role_along(after))
    if axis == "rows":
        y = min(patch.top for patch in after)
        ends = _reach((*before, *after), "columns")
        return Seam((ends[0], y), (ends[1], y), (0, 1), roles)
    x = min(patch.left for patch in after)
    ends = _reach((*before, *after), "rows")
    return Seam((x, ends[0]), (x, ends[1]), (1, 0), roles)


def _reach(patches: Sequence[Patch], axis: Axis) -> tuple[Fraction, Fraction]:
    if axis == "rows":
        return min(p.top for p in patches), max(p.top + p.height for p in patches)
    return min(p.left for p in patches), max(p.left + p.width for p in patches)


def _role_along(patches: Sequence[Patch]) -> str:
    """Return the one role of a part made of a single whole patch; '' otherwise."""
    return patches[0].roles if len(patches) == 1 and patches[0].cut == "" else ""


def _meet(join: Seam, axis: Axis, seams: Sequence[Seam], junctions: list[Junction]) -> None:
    """Pair the seams that end on a join from its two sides."""
    for place, (before, after) in _ends_on(join, axis, seams).items():
        where = Place(*place)
        for first in before:
            for second in after:
                one, two = seams[first], seams[second]
                if one.straight == two.straight:
                    differ = _sign(one, axis) == _sign(two, axis)
                    junctions.append(Junction(first, second, differ, where))


def _ends_on(
    join: Seam, axis: Axis, seams: Sequence[Seam]
) -> dict[Point, tuple[list[int], list[int]]]:
    """Return the seams that end on a join, before and after it, by the point they end in."""
    level = 1 if axis == "rows" else 0
    found: dict[Point, tuple[list[int], list[int]]] = {}
    for number, seam in enumerate(seams):
        for point, far in ((seam.start, seam.end), (seam.end, seam.start)):
            on_line = point[level] == join.start[level] and far[level] != point[level]
            if on_line and join.start[1 - level] < point[1 - level] < join.end[1 - level]:
                side = 0 if far[level] < point[level] else 1
                found.setdefault(point, ([], []))[side].append(number)
    return found


def _sign(seam: Seam, axis: Axis) -> int:
    """Return which way choice 1 lies along a join: rows are joined level, columns upright."""
    return seam.normal[0] if axis == "rows" else seam.normal[1]


EDGES = ("top", "right", "bottom", "left")


def _edge_ends(
    seams: Sequence[Seam], turn: Turn
) -> dict[str, dict[Fraction, list[tuple[int, int]]]]:
    """Return the seams that end on each edge of the turned block: position -> (seam, sign)."""
    found: dict[str, dict[Fraction, list[tuple[int, int]]]] = {edge: {} for edge in EDGES}
    for number, seam in enumerate(seams):
        normal = seam.normal
        ends = [seam.start, seam.end]
        for _ in range(turn // 90):
            normal = (-normal[1], normal[0])
            ends = [(1 - y, x) for x, y in ends]
        for x, y in ends:
            on = {"top": y == 0, "right": x == 1, "bottom": y == 1, "left": x == 0}
            for edge in EDGES:
                place, sign = (x, normal[0]) if edge in ("top", "bottom") else (y, normal[1])
                if on[edge] and 0 < place < 1 and sign:
                    found[edge].setdefault(place, []).append((number, sign))
    return found


def between(seams: Sequence[Seam], turn: Turn, shift: int) -> tuple[Junction, ...]:
    """Return the junctions between a block and its four neighbours of the other colour."""
    own, other = _edge_ends(seams, 0), _edge_ends(seams, turn)
    facing = {"top": "bottom", "right": "left", "bottom": "top", "left": "right"}
    junctions = []
    for edge, opposite in facing.items():
        for place, ends in own[edge].items():
            for first, sign in ends:
                for second, sign2 in other[opposite].get(place, ()):
                    if seams[first].straight == seams[second].straight:
                        where = _on_edge(edge, place)
                        junctions.append(Junction(first, second + shift, sign == sign2, where))
    return tuple(junctions)


def _on_edge(edge: str, along: Fraction) -> Place:
    """Return a place on an edge of the block, so far from its left or top end."""
    far = Fraction(edge in ("right", "bottom"))
    return Place(along, far, edge) if edge in ("top", "bottom") else Place(far, along, edge)


def _middle(patch: Patch) -> Place:
    return Place(patch.left + patch.width / 2, patch.top + patch.height / 2)
