"""One plan of cuts for fabrics of which some need fewer pieces: the largest serves all."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from placement.cloth.cutting import Piece, Then

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence


Over = tuple[tuple[Piece, int], ...]
"""Pieces that are cut and not needed, and how many of each."""


def over(large: Sequence[Piece], small: Sequence[Piece]) -> Over | None:
    """Return what is over where pieces for one fabric are cut for another.

    Parameters
    ----------
    large : sequence of Piece
        What is cut.
    small : sequence of Piece
        What is needed.

    Returns
    -------
    tuple of (Piece, int) or None
        None if what is cut does not hold all that is needed. A longer strip serves as
        a shorter one for a strip set.
    """
    left = Counter({piece: piece.count for piece in large})
    # The longest strips are served first: a shorter one never takes their place.
    for piece in sorted(small, key=lambda piece: piece.width, reverse=True):
        wanted = piece.count
        for other in sorted(large, key=lambda other: other.width):
            if wanted and _serves(other, piece):
                taken = min(wanted, left[other])
                left[other] -= taken
                wanted -= taken
        if wanted:
            return None
    return tuple((piece, left[piece]) for piece in large if left[piece])


def _serves(one: Piece, other: Piece) -> bool:
    """Whether a piece can take the place of another."""
    alike = (one.use, one.height, one.then, one.turn) == (
        other.use, other.height, other.then, other.turn
    )  # fmt: skip
    longer = one.then is Then.STRIP_SET and one.width >= other.width
    return alike and (longer or one.width == other.width)


def largest(wanted: Iterable[tuple[str, Sequence[Piece]]]) -> tuple[str, dict[str, Over]]:
    """Return the fabric whose pieces serve most of several, and what is over from each other one.

    Parameters
    ----------
    wanted : iterable of (str, sequence of Piece)
        Fabrics that have like cloth, and what is cut from each.

    Returns
    -------
    tuple
        Its id, and what is over from every fabric that it serves and that needs less.
    """
    found = dict(wanted)
    leader = max(found, key=lambda fabric: _area(found[fabric]), default="")
    served: dict[str, Over] = {}
    for fabric, pieces in found.items():
        left = over(found[leader], pieces)
        if left is not None and tuple(pieces) != tuple(found[leader]):
            served[fabric] = left
    return leader, served


def _area(pieces: Sequence[Piece]) -> float:
    return sum(float(p.width.value * p.height.value) * p.count for p in pieces)
