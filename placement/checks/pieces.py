"""The judge of cutting lists: the quilt top is laid out in mind, piece by piece.

Every patch, setting triangle, sash and cornerstone of the top is counted where it
lies, with its grain, and held against what the pieces to cut give. It shares no
code with what makes the list: sizes to cut follow from the inradius of a right
triangle (moving all three sides out by the seam scales it by 1 + q / r), counts
from places on the lattice of blocks.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import ceil, hypot, inf, isclose, sqrt
from typing import TYPE_CHECKING

from placement.block import Block
from placement.checks.fault import Fault, FaultKind, fault
from placement.checks.lattice import every_place, plain
from placement.cloth.cutting import PieceKind, Then
from placement.inches import Inches
from placement.top.setting.layout import Layout

if TYPE_CHECKING:
    from placement.cloth.cutting import Piece
    from placement.cloth.pieces import StripSet
    from placement.top.setting.setting import Setting

Shape = tuple[str, float, float]
"""'whole' with both sides; 'legs', a triangle with its legs on the grain; 'long', one with
its long side on the grain and 0. Finished, inches, the shorter side first."""

_NEAR = 1e-6
_LOOSE = 8
"""Most triangles of one kind left over from a unit, when eight are made at a time."""


@dataclass(frozen=True, slots=True)
class Top:
    """A quilt top and what is decided about cutting it."""

    layout: Layout
    """Which fabric lies in which cell."""
    block: Block
    """The block in every cell."""
    seam: Inches
    """Seam allowance."""
    squaring: Inches
    """Lost at the end of each strip set."""
    step: Inches
    """Squares for triangles are rounded up to this."""
    widths: Mapping[str, Inches]
    """Usable width of each fabric's cloth; of one that is not cut, none."""
    background: str
    """Id of the background."""
    second: str = ""
    """Id of the second feature's fabric; '' for the block's own."""
    sashing: str = ""
    """Id of the sashing's fabric."""
    cornerstones: str = ""
    """Id of the cornerstones' fabric."""
    own: Mapping[str, Inches] = field(default_factory=dict)
    """Sizes of the designer's own squares for 'side' and 'corner' triangles."""
    larger: float = 0.0
    """How much larger than exact the others are asked for, inches."""
    one_way: frozenset[str] = frozenset()
    """Fabrics whose print has an up, which units keep upright."""


def judge_pieces(
    top: Top, pieces: Sequence[Piece], sets: Sequence[StripSet]
) -> tuple[Fault, ...]:  # fmt: skip
    """List the faults of a cutting list for a quilt top; borders and binding are not looked at.

    Parameters
    ----------
    top : Top
        What is to be sewn.
    pieces : Sequence[Piece]
        What is cut, of all fabrics.
    sets : Sequence[StripSet]
        The strips sewn side by side, and their slices.
    """
    mine = [piece for piece in pieces if not _around(piece)]
    faults = [*_supply_faults(top, mine, sets), *_strip_faults(top, mine, sets)]
    faults += _long_faults(top, mine)
    return tuple(faults)


def _around(piece: Piece) -> bool:
    return piece.kind in (PieceKind.BORDER, PieceKind.BINDING, PieceKind.BIAS_BINDING)


def _long(piece: Piece) -> bool:
    return piece.kind in (PieceKind.LONG_SASH, PieceKind.JOINED_SASH)


def demand(top: Top, *, around: bool = True) -> Counter[tuple[str, Shape]]:
    """Return how many of each shape lie in the top, by fabric; long sashing left out.

    Without what lies around them, only the patches of pieced blocks are counted.
    """
    setting = top.layout.setting
    found: Counter[tuple[str, Shape]] = Counter()
    side = float(setting.block_size)
    of_block = Counter(
        (role, _shape([(float(x) * side, float(y) * side) for x, y in corners]))
        for patch in top.block.patches
        for role, corners in patch.parts()
    )
    bare = len(plain(setting))
    for fabric in top.layout.fabrics:
        bare += not fabric
        for (role, shape), count in of_block.items() if fabric else ():
            found[_cloth(top, role, fabric), shape] += count
    if not around:
        return +found
    found[top.background, ("whole", side, side)] += bare
    for shape in _triangles(setting):
        found[top.background, shape] += 1
    for key, count in _sashes(top):
        found[key] += count
    return +found


def _cloth(top: Top, role: str, fabric: str) -> str:
    return {"B": top.background, "S": top.second or fabric}.get(role, fabric)


def _shape(corners: list[tuple[float, float]]) -> Shape:
    """Return the shape of a patch whose cloth lies with its grain along the axes."""
    wide, high = (max(side) - min(side) for side in zip(*corners, strict=True))
    if len(corners) == 4:
        return ("whole", *_sorted(wide, high))
    turned = corners[1:] + corners[:1]
    level = sum(isclose(a[0], b[0]) or isclose(a[1], b[1])
                for a, b in zip(corners, turned, strict=True))  # fmt: skip
    if level == 2:
        return ("legs", *_sorted(wide, high))
    # One side along an axis: a right angle lies opposite if it is half as high as long.
    low, long = _sorted(wide, high)
    return ("long", long, 0.0 if _same(2 * low, long) else -1.0)


def _sorted(one: float, two: float) -> tuple[float, float]:
    """Return two sides, the shorter first, without binary noise."""
    return (round(min(one, two), 7), round(max(one, two), 7))


def _places(setting: Setting) -> set[tuple[int, int]]:
    return {(place.row, place.column) for place in every_place(setting)}


def _triangles(setting: Setting) -> Iterator[Shape]:
    """Yield the triangles in the gaps at the edge of an on-point top, grain along the edge."""
    if setting.kind != "on point":
        return
    places, side = _places(setting), float(setting.block_size)
    gaps = {(r + i, c + j) for r, c in places for i in (-1, 1) for j in (-1, 1)} - places
    for row, column in gaps:
        beyond = (row in (-1, 2 * setting.down - 1)) + (column in (-1, 2 * setting.across - 1))
        leg, long = round(side / sqrt(2), 7), round(side * sqrt(2), 7)
        yield ("legs", leg, leg) if beyond == 2 else ("long", long, 0.0)


def _corners(setting: Setting, place: tuple[int, int]) -> list[tuple[int, int]]:
    """Return the lattice points at a block's corners, going round."""
    row, column = place
    if setting.kind == "on point":
        return [(row - 1, column), (row, column + 1), (row + 1, column), (row, column - 1)]
    return [(row, column), (row, column + 1), (row + 1, column + 1), (row + 1, column)]


def _edges(setting: Setting) -> set[frozenset[tuple[int, int]]]:
    found = set()
    for place in _places(setting):
        ends = _corners(setting, place)
        found |= {frozenset(pair) for pair in zip(ends, ends[1:] + ends[:1], strict=True)}
    return found


def _rises(setting: Setting, edge: frozenset[tuple[int, int]]) -> bool:
    """Whether a sash lies between blocks of one row: rows run from bottom left to top right."""
    (_, c1), (_, c2) = sorted(edge)
    return c2 > c1 if setting.kind == "on point" else c1 == c2


def _sashes(top: Top) -> Iterator[tuple[tuple[str, Shape], int]]:
    setting = top.layout.setting
    wide = float(setting.sashing)
    if not wide:
        return
    edges = _edges(setting)
    short = edges if setting.cornerstones else {e for e in edges if _rises(setting, e)}
    yield (top.sashing, ("whole", *_sorted(wide, float(setting.block_size)))), len(short)
    if not setting.cornerstones:
        return
    points = {point for edge in edges for point in edge}
    last_row, last_column = 2 * setting.down - 1, 2 * setting.across - 1
    pointed = setting.kind == "on point"
    rim = {(r, c) for r, c in points if pointed and (r in (-1, last_row) or c in (-1, last_column))}
    yield (top.cornerstones, ("whole", *_sorted(wide, wide))), len(points - rim)
    yield (top.cornerstones, ("long", round(wide * sqrt(2), 7), 0.0)), len(rim)


def long_lengths(setting: Setting) -> list[float]:
    """Return how far each long strip reaches, finished: sashes in line, and its own width."""
    lines = Counter[int]()
    for edge in _edges(setting):
        if not _rises(setting, edge):
            (r1, c1), _ = sorted(edge)
            lines[r1 + c1 if setting.kind == "on point" else r1] += 1
    pitch, wide = float(setting.block_size) + float(setting.sashing), float(setting.sashing)
    return [count * pitch + wide for count in lines.values()]


def _least(
    shape: Shape, then: Then, use: PieceKind, q: float
) -> tuple[tuple[float, float], int] | None:
    """Return the least piece that gives a shape by a way of cutting, and how many it gives."""
    kind, one, two = shape
    if kind == "whole":
        return ((one + 2 * q, two + 2 * q), 1) if then is Then.SEWN else None
    if two < 0:
        return None
    if kind == "long":
        # Legs h / sqrt 2, inradius h (sqrt 2 - 1) / 2; a square cut twice has it as its side.
        if then is Then.CORNERS:
            return ((one / 2 + 2 * q, one + 2 * q), 1) if use is PieceKind.LARGE_GOOSE else None
        side = one * (1 + 2 * q / (one * (sqrt(2) - 1)))
        fits = then in (Then.CUT_TWICE, Then.HALVES) or use is PieceKind.LARGE_GOOSE
        return ((side, side), 4) if fits else None
    grown = 1 + 2 * q / (one + two - hypot(one, two))
    once = (one * grown, two * grown)
    if then is Then.CORNERS and use is PieceKind.SMALL_GOOSE:
        return (one + 2 * q, two + 2 * q), 1
    if then in (Then.CUT_ONCE, Then.TWO) or use is PieceKind.SMALL_GOOSE:
        return once, 2
    if then is Then.EIGHT:
        return (2 * once[0], 2 * once[1]), 8
    if then is Then.FOUR and use is PieceKind.HALF_SQUARE:
        # Sewn all round and cut on both diagonals: half a diagonal, less the seam round it.
        side = (one + 2 * q) * sqrt(2) + 2 * q
        return (side, side), 4
    return None


def _gives(top: Top, piece: Piece, wanted: set[Shape]) -> tuple[Shape, int] | None:
    """Return the shape that a piece is for, and how many come from it."""
    if piece.kind in top.own and {piece.width, piece.height} == {top.own[piece.kind]}:
        return _own_gives(top, piece)
    if piece.then is Then.STRIP_PAIR:
        return _of_strip(top, piece, wanted)
    size = _sorted(float(piece.width), float(piece.height))
    for shape in wanted:
        found = _least(shape, piece.then, piece.kind, float(top.seam))
        if found is None:
            continue
        least, count = found
        if piece.kind in (PieceKind.SIDE, PieceKind.CORNER):
            least = least[0] + top.larger, least[1] + top.larger
        spare = _spare(shape, piece, float(top.step))
        if all(-_NEAR <= cut - low <= spare for cut, low in zip(size, least, strict=True)):
            return shape, count
    return None


def _spare(shape: Shape, piece: Piece, step: float) -> float:
    """Return by how much a piece may be larger than its shape asks for."""
    if shape[0] == "whole" or piece.then is Then.CORNERS:
        return _NEAR
    # Small squares of geese make up for half of what the large one is rounded up by.
    both = piece.kind is PieceKind.SMALL_GOOSE and piece.then is Then.FOUR
    return (1.5 if both else 1.0) * step - _NEAR


def _of_strip(top: Top, piece: Piece, wanted: set[Shape]) -> tuple[Shape, int] | None:
    """Return the half squares that a strip is cut into, with one blunt point each."""
    q, step = float(top.seam), float(top.step)
    for shape in wanted:
        kind, one, two = shape
        if kind != "legs" or one != two or not _same(one + 2 * q, float(piece.height)):
            continue
        # The long leg is rounded up to the ruler's step; the short side is what is left of it.
        leg = ceil((one + q * (2 + sqrt(2))) / step - _NEAR) * step
        blunt = leg - float(piece.height)
        room, count, at = float(piece.width) - float(top.squaring) + _NEAR, 0, 0.0
        while at + leg <= room:
            count += 1 + (at + leg + blunt <= room)
            at += leg + blunt
        return shape, count
    return None


def _own_gives(top: Top, piece: Piece) -> tuple[Shape, int] | None:
    """Return the setting triangles that a square of her own size is cut into."""
    side = float(top.layout.setting.block_size)
    if piece.kind is PieceKind.SIDE and piece.then is Then.CUT_TWICE:
        return ("long", round(side * sqrt(2), 7), 0.0), 4
    if piece.kind is PieceKind.CORNER and piece.then is Then.CUT_ONCE:
        leg = round(side / sqrt(2), 7)
        return ("legs", leg, leg), 2
    return None


def _supply_faults(top: Top, pieces: Sequence[Piece], sets: Sequence[StripSet]) -> Iterator[Fault]:
    wanted, got = demand(top), Counter[tuple[str, Shape]]()
    q = float(top.seam)
    for piece in pieces:
        if piece.then is Then.STRIP_SET or _long(piece):
            continue
        of_fabric = {shape for fabric, shape in wanted if fabric == piece.fabric}
        found = _gives(top, piece, of_fabric)
        if found is None:
            yield fault(
                FaultKind.NO_PART, fabric=piece.fabric, piece=piece.kind, width=piece.width,
                height=piece.height,
            )  # fmt: skip
        else:
            got[piece.fabric, found[0]] += found[1] * piece.count
    for entry in sets:
        for fabric, width in entry.strips:
            sides = _sorted(float(width) - 2 * q, float(entry.sub_cut) - 2 * q)
            shape = next((s for f, s in wanted if f == fabric and s[0] == "whole"
                          and all(map(_same, s[1:], sides))), ("whole", *sides))  # fmt: skip
            got[fabric, shape] += entry.slices
    # Units of each fabric are made by themselves; what they leave of a shared one adds up.
    shared = {top.background, top.second} - {""}
    partners = len(set(top.layout.fabrics) - {""})
    kinds = (
        len(
            {
                (len(p.parts()), *_sorted(float(p.width), float(p.height)), *sorted(p.roles))
                for p in top.block.patches
                if p.cut
            }
        )
        + 1
    )
    for key in sorted({*wanted, *got}):
        spare = got[key] - wanted[key]
        fabric, (kind, one, two) = key
        # How many squares keep a print upright is judged where units are sewn on paper.
        loose = inf if top.one_way else _LOOSE * kinds * (partners if fabric in shared else 1)
        if spare < 0 or spare >= (1 if kind == "whole" else loose):
            yield fault(
                FaultKind.PARTS, fabric=fabric, shape=kind, one=one, two=two, wanted=wanted[key],
                found=got[key],
            )  # fmt: skip


def _same(one: float, two: float) -> bool:
    return abs(one - two) < _NEAR


def _strip_faults(top: Top, pieces: Sequence[Piece], sets: Sequence[StripSet]) -> Iterator[Fault]:
    """List strips of sets that are missing, too many, or too short for slices and squaring up."""
    wanted: dict[tuple[str, Inches], list[float]] = {}
    for entry in sets:
        if sum(entry.sets) != entry.slices:
            name = entry.strips[0][0]
            yield fault(
                FaultKind.SETS_SHARED, fabric=name, slices=entry.slices, found=sum(entry.sets)
            )
        for strip in entry.strips:
            wanted.setdefault(strip, []).extend(
                slices * float(entry.sub_cut) + float(top.squaring) for slices in entry.sets
            )
    given: dict[tuple[str, Inches], list[float]] = {}
    for piece in pieces:
        if piece.then is Then.STRIP_SET:
            lengths = given.setdefault((piece.fabric, piece.height), [])
            lengths.extend([float(piece.width)] * piece.count)
    for key in sorted({*wanted, *given}):
        need, have = (sorted(found.get(key, [])) for found in (wanted, given))
        if len(need) != len(have):
            yield fault(
                FaultKind.SET_STRIPS, fabric=key[0], width=key[1], wanted=len(need), found=len(have)
            )
        elif any(long < least - _NEAR for long, least in zip(have, need, strict=True)):
            yield fault(FaultKind.SET_STRIP_SHORT, fabric=key[0], width=key[1])


def _long_faults(top: Top, pieces: Sequence[Piece]) -> Iterator[Fault]:
    """List long sashing that is missing, too many, too short or of a wrong width."""
    setting, q = top.layout.setting, float(top.seam)
    cut = [piece for piece in pieces if _long(piece)]
    bare = not setting.sashing.value or setting.cornerstones
    needed = [] if bare else long_lengths(setting)
    ends = q * (1 + sqrt(2)) if setting.kind == "on point" else q
    usable = float(top.widths.get(top.sashing, 0)) if needed else 0.0
    lengths = [reach + 2 * ends for reach in needed]
    single = sorted(length for length in lengths if length <= usable)
    have = sorted(float(p.width) for p in cut if p.kind is PieceKind.LONG_SASH
                  for _ in range(p.count))  # fmt: skip
    wide = float(setting.sashing) + 2 * q
    for piece in cut:
        if piece.fabric != top.sashing or not _same(float(piece.height), wide):
            yield fault(
                FaultKind.LONG_WIDTH, fabric=piece.fabric, piece=piece.kind, width=piece.height
            )
    slack = float(top.step)
    if len(single) > len(have) or any(
        not -_NEAR <= long - least < slack for long, least in zip(have, single, strict=False)
    ):
        yield fault(FaultKind.LONG_REACH, fabric=top.sashing)
    rest = sum(lengths) - sum(single)
    strips = sum(piece.count for piece in cut if piece.kind is PieceKind.JOINED_SASH)
    room = strips * (usable - 2 * q) + 2 * q if strips else 0.0
    if room < rest - _NEAR:
        yield fault(FaultKind.LONG_SHORT, fabric=top.sashing, wanted=rest, found=room)
    elif room - usable > rest + slack * (len(needed) + 1) and strips:
        yield fault(FaultKind.LONG_SPARE, fabric=top.sashing)
