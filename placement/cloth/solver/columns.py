"""A cutting job in whole units: kinds of pieces, ways to lay them, strips of columns.

Words used here
---------------
kind : all pieces of one size, whatever they become.
lay : a kind as it lies on the cloth, upright or turned by a quarter.
column : a part of a strip between two sub-cuts; one lay, or several stacked.
strip : columns side by side; as high as some piece, never lower than a column.
unit : the largest length that every size is a whole multiple of, so that all
    arithmetic is exact.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from placement.cloth.cutting import Piece

Column = tuple[int, ...]
"""Lays of one column from top to bottom, as indices into Job.lays."""


@dataclass(frozen=True, slots=True)
class Kind:
    """All pieces of one size."""

    width: int
    """Along the strip, units."""
    height: int
    """Across the strip, units."""
    count: int
    """How many."""
    turn: bool
    """Whether they may be turned; False for a square, which gains nothing."""


@dataclass(frozen=True, slots=True)
class Lay:
    """A kind as it lies on the cloth."""

    kind: int
    """Index into Job.kinds."""
    width: int
    """Along the strip, units; no more than the strip allows."""
    height: int
    """Across the strip, units."""


@dataclass(frozen=True, slots=True)
class Job:
    """Pieces to cut from one fabric's cloth, in whole units."""

    unit: Fraction
    """Inches a unit."""
    width: int
    """Length of a strip that sub-cuts can use."""
    height: int | None
    """Height of one sheet; None when the least height is asked for."""
    sheets: int
    """How many sheets."""
    kinds: tuple[Kind, ...]
    """What to cut."""
    lays: tuple[Lay, ...]
    """Every way to lay a piece that fits the cloth, highest and then widest first."""

    @property
    def heights(self) -> tuple[int, ...]:
        """Heights a strip can have, highest first: the heights of the lays."""
        return tuple(sorted({lay.height for lay in self.lays}, reverse=True))

    @property
    def homeless(self) -> tuple[int, ...]:
        """Kinds that fit the cloth neither upright nor turned."""
        laid = {lay.kind for lay in self.lays}
        return tuple(index for index in range(len(self.kinds)) if index not in laid)

    def column_width(self, column: Column) -> int:
        """Return the width of a column: that of its widest piece."""
        return max(self.lays[lay].width for lay in column)

    def column_height(self, column: Column) -> int:
        """Return the height of a column: that of its pieces together."""
        return sum(self.lays[lay].height for lay in column)


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip across the cloth and what it is sub-cut into."""

    height: int
    """Units."""
    columns: tuple[Column, ...]
    """From left to right."""

    def kinds(self, job: Job) -> Counter[int]:
        """Return how many pieces of each kind it gives."""
        return Counter(job.lays[lay].kind for column in self.columns for lay in column)


def unit_of(lengths: Iterable[Fraction]) -> Fraction:
    """Return the largest length that every one of ``lengths`` is a whole multiple of.

    >>> unit_of([Fraction(5, 2), Fraction(17, 8)])
    Fraction(1, 8)
    """
    values = list(lengths)
    bottom = lcm(*(value.denominator for value in values))
    return Fraction(gcd(*(int(value * bottom) for value in values)), bottom)


def make_job(
    pieces: Sequence[Piece],
    width: Fraction,
    height: Fraction | None,
    sheets: int = 1,
    squaring: Fraction = Fraction(0),
) -> Job:
    """Put pieces and cloth on the unit grid; the cloth is rounded down to whole units.

    Parameters
    ----------
    pieces : Sequence[Piece]
        What to cut; at least one.
    width, height : Fraction, Fraction | None
        Usable size of one sheet in inches; height None when it is open.
    sheets : int
        How many sheets.
    squaring : lost at the end of a strip before its first sub-cut, inches; a
        piece as long as the whole strip needs none.
    """
    unit = unit_of(side.value for piece in pieces for side in (piece.width, piece.height))
    whole, across = width // unit, (width - squaring) // unit
    down = None if height is None else height // unit
    kinds = _kinds(pieces, unit)
    lays = {
        Lay(index, min(wide, across), high)
        for index, kind in enumerate(kinds)
        for wide, high in _ways(kind)
        if wide <= whole and (down is None or high <= down)
    }
    order = sorted(lays, key=lambda lay: (-lay.height, -lay.width, lay.kind))
    return Job(unit, across, down, sheets, kinds, tuple(order))


def _kinds(pieces: Sequence[Piece], unit: Fraction) -> tuple[Kind, ...]:
    """Gather pieces of one size; a piece that may be turned counts as its longer side across."""
    tally: Counter[tuple[int, int, bool]] = Counter()
    for piece in pieces:
        tally[size_key(piece, unit)] += piece.count
    return tuple(Kind(w, h, count, turn) for (w, h, turn), count in sorted(tally.items()))


def size_key(piece: Piece, unit: Fraction) -> tuple[int, int, bool]:
    """Return width, height and freedom to turn: what makes pieces one kind."""
    width, height = int(piece.width.value / unit), int(piece.height.value / unit)
    turn = piece.turn and width != height
    return (max(width, height), min(width, height), True) if turn else (width, height, False)


def _ways(kind: Kind) -> list[tuple[int, int]]:
    upright = (kind.width, kind.height)
    return [upright, (kind.height, kind.width)] if kind.turn else [upright]
