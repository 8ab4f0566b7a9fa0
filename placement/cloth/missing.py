"""Pieces that find no place on the cloth: which, how many, and by how much too large."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from placement.cloth.solver.columns import Job, Strip, size_key
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Sequence

    from placement.cloth.cutting import Piece


def lacking(job: Job, strips: Sequence[Strip]) -> Counter[int]:
    """Return how many pieces of each kind strips do not give."""
    rest = Counter({at: kind.count for at, kind in enumerate(job.kinds)})
    for strip in strips:
        rest.subtract(strip.kinds(job))
    return +rest


def only(job: Job, counts: Counter[int]) -> Job:
    """Return the job of cutting just so many pieces of each kind."""
    kinds = tuple(replace(kind, count=counts[at]) for at, kind in enumerate(job.kinds))
    lays = tuple(lay for lay in job.lays if counts[lay.kind])
    return replace(job, kinds=kinds, lays=lays)


def kind_of(job: Job, piece: Piece) -> int:
    """Return the index of a piece's kind."""
    key = size_key(piece, job.unit)
    return [(kind.width, kind.height, kind.turn) for kind in job.kinds].index(key)


def without_place(
    pieces: Sequence[Piece], job: Job, counts: Counter[int]
) -> tuple[tuple[Piece, int], ...]:
    """Return the pieces that find no place, and how many: of one size, the last of the list."""
    rest = counts.copy()
    found: list[tuple[Piece, int]] = []
    for piece in reversed(pieces):
        kind = kind_of(job, piece)
        lost = min(piece.count, rest[kind])
        rest[kind] -= lost
        if lost:
            found.append((piece, lost))
    return tuple(reversed(found))


def overhang(piece: Piece, width: Inches, height: Inches | None) -> Inches:
    """Return by how much a piece is larger than the cloth, laid the better way."""
    ways = [(piece.width, piece.height)] + ([(piece.height, piece.width)] if piece.turn else [])
    down = [Fraction(0) if height is None else high.value - height.value for _, high in ways]
    return Inches(
        min(max(wide.value - width.value, over) for (wide, _), over in zip(ways, down, strict=True))
    )
