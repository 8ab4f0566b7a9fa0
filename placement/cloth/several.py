"""Pieces of one fabric shared out over several cloths of it: a pre-cut, a leftover, yardage."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from placement.cloth.cutting import CutKind, CuttingPlan, Fit, Piece, PieceKind
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from placement.cloth.cutting import Cloth

    Solve = Callable[[tuple[Piece, ...], Cloth], CuttingPlan]
    Shared = tuple[CuttingPlan, tuple[Piece, ...], Cloth]

_AROUND = (
    PieceKind.BORDER, PieceKind.BINDING, PieceKind.BIAS_BINDING, PieceKind.SASH,
    PieceKind.LONG_SASH, PieceKind.JOINED_SASH, PieceKind.CORNERSTONE, PieceKind.HALF_CORNERSTONE,
)  # fmt: skip
"""What lies between and around the blocks."""


def long_cloth(cloths: Sequence[Cloth]) -> Cloth:
    """Return the cloth that strips across the whole width are cut from: yardage if there is any."""
    return next((cloth for cloth in reversed(cloths) if cloth.form.open_ended), cloths[0])


def shared_out(
    pieces: tuple[Piece, ...], cloths: Sequence[Cloth], solve: Solve, *, onward: bool
) -> list[Shared]:
    """Return how pieces are cut from several cloths of one fabric, and which from each.

    What lies between and around the blocks is cut from the yardage, if there is any.
    Of the rest, what finds no place on one cloth is cut from the next; the last takes all.

    Parameters
    ----------
    pieces : tuple of Piece
        Everything that is cut of the fabric.
    cloths : sequence of Cloth
        Its cloths, at least one, in the order they are cut.
    solve : callable
        Returns how pieces are cut from a cloth.
    onward : bool
        Whether what finds no place on one cloth is cut from the next: cloth that is at hand is
        used up. Otherwise the first is to hold all pieces of the blocks.

    Returns
    -------
    list
        A plan, its pieces and the cloth, for each of the cloths.
    """
    long = long_cloth(cloths)
    around = tuple(p for p in pieces if p.kind in _AROUND) if len(cloths) > 1 else ()
    rest = tuple(p for p in pieces if p not in around)
    found: list[Shared] = []
    for at, cloth in enumerate(cloths):
        mine = around if cloth is long else ()
        later = [other for other in cloths[at + 1 :] if onward or other is not long]
        if not later:
            mine, rest = (*rest, *mine), ()
            found.append((solve(mine, cloth), mine, cloth))
            continue
        plan = solve((*rest, *mine), cloth)
        missing = Counter({piece: count for piece, count in plan.missing if piece not in mine})
        placed = tuple(_fewer((*rest, *mine), missing))
        rest = tuple(replace(piece, count=count) for piece, count in missing.items())
        found.append((_placed(plan, placed, cloth, solve), placed, cloth))
    return [
        (_unused(plan, cloth) if not mine else plan, mine, cloth) for plan, mine, cloth in found
    ]


def _unused(plan: CuttingPlan, cloth: Cloth) -> CuttingPlan:
    """Say of a cloth from which nothing is cut that all of it is left."""
    if cloth.height is None:
        return plan
    return replace(plan, spare=Inches(cloth.height.value * cloth.count))


def _fewer(pieces: Sequence[Piece], missing: Counter[Piece]) -> list[Piece]:
    """Return the pieces without those that find no place."""
    left = ((piece, piece.count - missing[piece]) for piece in pieces)
    return [replace(piece, count=count) for piece, count in left if count]


def _placed(
    plan: CuttingPlan, placed: tuple[Piece, ...], cloth: Cloth, solve: Solve
) -> CuttingPlan:
    """Return how the pieces that found a place are cut, by themselves."""
    if plan.verdict.fits:
        return plan
    alone = solve(placed, cloth)
    laid = sum(cut.kind is CutKind.PIECE for cut in plan.cuts)
    if alone.verdict.fits or laid != sum(piece.count for piece in placed):
        return alone
    # Laid once, they are known to fit: the cuts are those that were found then.
    nothing = Inches(Fraction(0))
    height = (cloth.height or plan.used).value * cloth.count
    area = sum(c.width.value * c.height.value for c in plan.cuts if c.kind is CutKind.PIECE)
    return replace(
        plan,
        verdict=Fit.STACKED if any(c.kind is CutKind.STACK for c in plan.cuts) else Fit.FITS,
        bound=Inches(area / cloth.form.width.value),
        needed=plan.used,
        spare=Inches(height - plan.used.value),
        short=nothing,
        missing=(),
        too_large=None,
        sold_short=None,
        enough=None,
    )
