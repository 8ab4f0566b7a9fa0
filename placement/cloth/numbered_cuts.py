"""From strips to numbered cuts: where every piece lies and in which order it is cut."""

from __future__ import annotations

from collections import defaultdict, deque
from itertools import count
from typing import TYPE_CHECKING

from placement.cloth.cutting import Cut, CutKind, Piece
from placement.cloth.solver.columns import Column, Job, Kind, Strip, size_key
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from fractions import Fraction


def places(
    job: Job,
    sheets: Sequence[Sequence[Strip]],
    pieces: Sequence[Piece],
    width: Inches,
    squaring: Inches,
) -> tuple[Cut, ...]:
    """Return the cuts: all strips, from the top; then each strip's sub-cuts from the left.

    Parameters
    ----------
    job : Job
        The kinds that the strips' lays refer to.
    sheets : Sequence[Sequence[Strip]]
        The strips of each sheet; no more pieces of a kind than are wanted.
    pieces : Sequence[Piece]
        What they are for.
    width : Inches
        Usable width of the cloth.
    squaring : Inches
        Cut off the end of a strip before its first sub-cut.
    """
    numbers = count(1)
    across = [(sheet, strip) for sheet, strips in enumerate(sheets) for strip in _ordered(strips)]
    cuts = []
    top, current = 0, 0
    for sheet, strip in across:
        top = top if sheet == current else 0
        current = sheet
        cuts.append(
            Cut(next(numbers), CutKind.STRIP, sheet, _inches(job, 0), _inches(job, top), width,
                _inches(job, strip.height))
        )  # fmt: skip
        top += strip.height
    waiting = _waiting(job, pieces)
    for (_, strip), cut in zip(across, tuple(cuts), strict=True):
        cuts.extend(_sub_cuts(job, strip, cut, squaring, waiting, numbers))
    return tuple(cuts)


def _ordered(strips: Sequence[Strip]) -> list[Strip]:
    return sorted(strips, key=lambda strip: -strip.height)


def _inches(job: Job, units: int) -> Inches:
    return Inches(units * job.unit)


def _waiting(job: Job, pieces: Sequence[Piece]) -> dict[Kind, deque[Piece]]:
    """Return the pieces of every kind, one entry a piece, in the order of the list."""
    by_key = {(kind.width, kind.height, kind.turn): kind for kind in job.kinds}
    waiting: dict[Kind, deque[Piece]] = defaultdict(deque)
    for piece in pieces:
        waiting[by_key[size_key(piece, job.unit)]].extend([piece] * piece.count)
    return waiting


def _sub_cuts(
    job: Job, strip: Strip, whole: Cut, squaring: Inches,
    waiting: dict[Kind, deque[Piece]], numbers: Iterator[int],
) -> Iterator[Cut]:  # fmt: skip
    """Yield a strip's sub-cuts, highest and widest first; a stack is followed by its pieces."""
    columns = sorted(
        strip.columns, key=lambda c: (-job.column_height(c), -job.column_width(c), len(c), c)
    )
    # The end is squared up before the first sub-cut, unless a piece needs the whole strip.
    used = sum(_width(job, column) for column in columns)
    x = min(squaring.value, whole.width.value - used)
    for column in columns:
        width = Inches(_width(job, column))
        inside = whole
        if len(column) > 1:
            inside = Cut(next(numbers), CutKind.STACK, whole.sheet, Inches(x), whole.y, width,
                         whole.height, inside=whole.number)  # fmt: skip
            yield inside
        yield from _column(job, column, inside, x, waiting, numbers)
        x += width.value


def _width(job: Job, column: Column) -> Fraction:
    """Return the true width of a column in inches; a lay's may be clipped to the strip's."""
    return max(_size(job, lay)[0] for lay in column) * job.unit


def _size(job: Job, index: int) -> tuple[int, int]:
    """Return the true width and height of a lay."""
    lay = job.lays[index]
    kind = job.kinds[lay.kind]
    upright = lay.height == kind.height or not kind.turn
    return (kind.width, kind.height) if upright else (kind.height, kind.width)


def _column(
    job: Job, column: Column, inside: Cut, x: Fraction,
    waiting: dict[Kind, deque[Piece]], numbers: Iterator[int],
) -> Iterator[Cut]:  # fmt: skip
    y = inside.y.value
    for lay in column:
        width, height = (side * job.unit for side in _size(job, lay))
        piece = waiting[job.kinds[job.lays[lay].kind]].popleft()
        turned = (piece.width.value, piece.height.value) != (width, height)
        yield Cut(
            next(numbers), CutKind.PIECE, inside.sheet, Inches(x), Inches(y), Inches(width),
            Inches(height), piece.use, turned, inside.number,
        )  # fmt: skip
        y += height
