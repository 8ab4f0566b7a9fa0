"""The judge of one plan for several fabrics: surplus pieces are taken only there, and counted.

It counts by use and size what one fabric's cuts give and another needs.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from placement.checks.fault import Fault, FaultKind, fault

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from fractions import Fraction

    from placement.cloth.cutting import CuttingPlan, Piece

Kind = tuple[str, int, "Fraction", str]
"""What a piece is for, its height, and what happens to it next."""


def judge_alike(
    needed: Sequence[Piece], plan: CuttingPlan, cut: Sequence[Piece], like: CuttingPlan | None
) -> tuple[Fault, ...]:
    """List the faults of a fabric that is cut like another one.

    Parameters
    ----------
    needed : sequence of Piece
        What the fabric's blocks take.
    plan : CuttingPlan
        How it is cut: like ``plan.like``, with ``plan.surplus`` over.
    cut : sequence of Piece
        What the blocks of that other fabric take.
    like : CuttingPlan
        How that other fabric is cut; None if it is not cut at all.
    """
    if like is None or like.like or not _same(plan, like):
        return (fault(FaultKind.CUT_LIKE, fabric=plan.fabric, other=plan.like),)
    return tuple(_over(needed, plan, cut))


def _same(plan: CuttingPlan, like: CuttingPlan) -> bool:
    """Whether two fabrics have like cloth and are cut alike, with all pieces on it."""
    mine, its = plan.cloth, like.cloth
    cloth = (mine.form, mine.count, mine.length) == (its.form, its.count, its.length)
    return cloth and plan.cuts == like.cuts and not (like.missing or like.cloth.form.open_ended)


def _lengths(pieces: Sequence[Piece]) -> dict[Kind, list[Fraction]]:
    """Return the lengths of all pieces, the longest first."""
    found: dict[Kind, list[Fraction]] = defaultdict(list)
    for piece in pieces:
        kind = (str(piece.use.kind), piece.use.number, piece.height.value, str(piece.then))
        found[kind] += [piece.width.value] * piece.count
    return {kind: sorted(lengths, reverse=True) for kind, lengths in found.items()}


def _over(needed: Sequence[Piece], plan: CuttingPlan, cut: Sequence[Piece]) -> Iterator[Fault]:
    given, told = _lengths(cut), _lengths([_counted(piece, n) for piece, n in plan.surplus])
    wanted = _lengths(needed)
    for kind in sorted({*given, *told, *wanted}):
        have, need, over = (each.get(kind, []) for each in (given, wanted, told))
        if len(need) + len(over) != len(have) or not _suffice(kind, have, need, over):
            yield fault(
                FaultKind.SURPLUS, fabric=plan.fabric, piece=kind[0], said=len(over),
                found=len(have) - len(need),
            )  # fmt: skip


def _counted(piece: Piece, count: int) -> Piece:
    return type(piece)(piece.use, piece.fabric, piece.width, piece.height, count, piece.turn,
                       piece.then)  # fmt: skip


def _suffice(kind: Kind, have: list[Fraction], need: list[Fraction], over: list[Fraction]) -> bool:
    """Whether what is not over is what is needed; strips of sets may be longer than that."""
    left = list(have)
    for length in over:
        if length not in left:
            return False
        left.remove(length)
    if kind[3] != "strip set":
        return left == need
    return all(long >= least for long, least in zip(left, need, strict=True))
