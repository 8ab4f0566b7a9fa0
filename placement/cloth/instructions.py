"""A plan of cuts as instructions: cut so many strips so high, from each so many of each size.

What counts as an instruction, a ruler setting and a cut is told at
``placement.cloth.handwork.Handwork``.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from placement.cloth.cutting import Cut, CutKind
from placement.cloth.handwork import Handwork
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

LAYERS = 6
"""Strips that are sub-cut at once unless told otherwise; common practice."""

_Size = tuple[Fraction, Fraction]
_Content = Counter[_Size]


@dataclass(frozen=True, slots=True)
class SubCut:
    """Pieces of one size that are cut from the strips of an instruction."""

    width: Inches
    """Along the strip."""
    height: Inches
    """Across the strip."""
    each: int
    """How many from one strip at most."""
    numbers: tuple[int, ...]
    """The pieces, as the plan's cuts are numbered; as many as are cut in all."""


@dataclass(frozen=True, slots=True)
class Instruction:
    """One line of the cutting list: strips of one height that are cut alike."""

    height: Inches
    """Height of the strips."""
    strips: tuple[int, ...]
    """The strips, as the plan's cuts are numbered; those that give most come first."""
    sub_cuts: tuple[SubCut, ...]
    """What they are cut into, the highest and then the widest first."""
    halved: bool
    """Whether every strip is only cut in halves, at the fold."""
    whole: bool
    """Whether every strip is used as it is."""
    layers: int
    """How many strips are sub-cut at once."""
    handwork: Handwork
    """What it asks of the cutter."""


def instructions(
    cuts: Sequence[Cut], width: Inches, layers: int = LAYERS
) -> tuple[Instruction, ...]:
    """Return the instructions of a plan, in the order of their first strips.

    Parameters
    ----------
    cuts : sequence of Cut
        Strips with their sub-cuts.
    width : Inches
        Usable width of the cloth.
    layers : int
        How many strips are sub-cut at once, at least 1.

    Raises
    ------
    ValueError
        If nothing could be cut at once.
    """
    if layers < 1:
        raise ValueError(f"{layers} layers are none; give how many are cut at once, 1 or more")
    made = (_instruction(alike, width, layers) for alike in _alike(_strips(cuts)))
    return tuple(sorted(made, key=lambda line: min(line.strips)))


def handwork(cuts: Sequence[Cut], width: Inches, layers: int = LAYERS) -> Handwork:
    """Return what a whole plan asks of the cutter."""
    lines = instructions(cuts, width, layers)
    return sum((line.handwork for line in lines), Handwork.NONE)


@dataclass(frozen=True, slots=True)
class _Strip:
    """A strip with everything that is cut from it."""

    cut: Cut
    pieces: tuple[Cut, ...]
    columns: dict[Cut, tuple[Cut, ...]]
    """Pieces by the column they are cut from: themselves, or their stack."""

    @property
    def content(self) -> _Content:
        return Counter((piece.width.value, piece.height.value) for piece in self.pieces)

    def passes(self, width: Inches) -> int:
        """Count the sub-cuts; a cut at the edge of the cloth or the strip is none."""
        bottom = self.cut.y.value + self.cut.height.value
        passes = 0
        for column, pieces in self.columns.items():
            passes += column.x.value + column.width.value != width.value
            passes += sum(piece.y.value + piece.height.value != bottom for piece in pieces)
        return passes


def _strips(cuts: Sequence[Cut]) -> list[_Strip]:
    by_number = {cut.number: cut for cut in cuts}
    columns: dict[int, dict[Cut, tuple[Cut, ...]]] = defaultdict(dict)
    for cut in cuts:
        if cut.kind is CutKind.PIECE:
            parent = by_number[cut.inside]
            column = parent if parent.kind is CutKind.STACK else cut
            inside = columns[parent.inside if parent.kind is CutKind.STACK else parent.number]
            inside[column] = (*inside.get(column, ()), cut)
    return [
        _Strip(cut, tuple(p for pieces in columns[cut.number].values() for p in pieces),
               columns[cut.number])
        for cut in cuts
        if cut.kind is CutKind.STRIP
    ]  # fmt: skip


def _alike(strips: Iterable[_Strip]) -> list[list[_Strip]]:
    """Put strips together that one instruction tells, those that give most first."""
    groups: list[list[_Strip]] = []
    for strip in sorted(strips, key=lambda strip: (-len(strip.pieces), strip.cut.number)):
        for group in groups:
            if group[0].cut.height == strip.cut.height and strip.content <= group[0].content:
                group.append(strip)
                break
        else:
            groups.append([strip])
    return groups


def _instruction(strips: Sequence[_Strip], width: Inches, layers: int) -> Instruction:
    height = strips[0].cut.height
    sizes = {(p.width, p.height) for p in strips[0].pieces}
    plain = {width.value, width.value / 2}
    lines = {height.value} | {side.value for size in sizes for side in size[1:]}
    lines |= {wide.value for wide, _ in sizes} - plain
    piled = [strips[at : at + layers] for at in range(0, len(strips), layers)]
    passes = sum(max(strip.passes(width) for strip in pile) for pile in piled)
    return Instruction(
        height,
        tuple(strip.cut.number for strip in strips),
        tuple(_sub_cut(strips, *size) for size in sorted(sizes, key=_largest)),
        halved=sizes == {(Inches(width.value / 2), height)},
        whole=sizes == {(width, height)},
        layers=min(layers, len(strips)),
        handwork=Handwork(1, len(lines), len(strips) + passes),
    )


def _largest(size: tuple[Inches, Inches]) -> tuple[Fraction, Fraction]:
    return -size[1].value, -size[0].value


def _sub_cut(strips: Sequence[_Strip], width: Inches, height: Inches) -> SubCut:
    numbers = [
        piece.number
        for strip in strips
        for piece in strip.pieces
        if (piece.width, piece.height) == (width, height)
    ]
    return SubCut(
        width, height, strips[0].content[width.value, height.value], tuple(sorted(numbers))
    )
