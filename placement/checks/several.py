"""The judge of several cloths of one fabric: every piece is asked of one of them, none twice."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from placement.checks.fault import Fault, FaultKind, fault

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from placement.cloth.cutting import Piece


def judge_shares(pieces: Iterable[Piece], asked: Sequence[Sequence[Piece]]) -> tuple[Fault, ...]:
    """List the fabrics whose pieces are not those that are asked of their cloths.

    Parameters
    ----------
    pieces : iterable of Piece
        Everything that is cut.
    asked : sequence of sequences of Piece
        What is asked of each cloth.
    """
    wanted, shared = Counter[tuple[object, ...]](), Counter[tuple[object, ...]]()
    for piece in pieces:
        wanted[_key(piece)] += piece.count
    for each in asked:
        for piece in each:
            shared[_key(piece)] += piece.count
    off = sorted({str(key[0]) for key in (wanted - shared) + (shared - wanted)})
    return tuple(fault(FaultKind.CLOTHS_SHARED, fabric=fabric) for fabric in off)


def _key(piece: Piece) -> tuple[object, ...]:
    return piece.fabric, piece.use, piece.width.value, piece.height.value, piece.then
