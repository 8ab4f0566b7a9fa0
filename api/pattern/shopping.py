"""The shopping list of a plan: what is needed less what she says is at hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from placement.cloth.forms import FormKind, form_of
from placement.cloth.shopping import NONE, Much, Shopping, backing_need, need_of
from placement.cloth.yardage import washed
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Sequence

    from api.pattern.plan import Plan
    from api.pattern.sewing import OwnCloth
    from placement.cloth.cutting import CuttingPlan, Piece
    from placement.cloth.shopping import Need, Solve
    from placement.top.setting.finishing import Backing

Cut = tuple["CuttingPlan", "tuple[Piece, ...]"]
"""How one cloth is cut, and what is asked of it."""


def shopping(plan: Plan, cut: Sequence[Cut], way: Backing, solve: Solve) -> Shopping:
    """Return what is missing of every cloth of a plan, and of its backing.

    Parameters
    ----------
    plan : Plan
        The plan.
    cut : sequence of (CuttingPlan, tuple of Piece)
        How each cloth is cut, and what is asked of it.
    way : Backing
        How the backing is pieced.
    solve : callable
        Returns how pieces are cut from a cloth.
    """
    sewing, units = plan.brief.sewing, plan.brief.units
    yardage = washed(form_of(FormKind.YARDAGE, units), sewing.shrunk)
    needs: list[Need] = []
    for found, pieces in cut:
        at = sum(need.fabric == found.fabric for need in needs)
        owned = at_hand(plan, found.fabric, at, open_ended=found.cloth.form.open_ended)
        needs.append(need_of(found, pieces, owned, yardage, solve))
    there = backing_at_hand(plan, [found for found, _ in cut])
    return Shopping(tuple(needs), backing_need(way, there, yardage, sewing.shrunk))


def told_cloths(plan: Plan, fabric: str) -> list[OwnCloth]:
    """Return what she says that she has of a fabric, in the order it is cut."""
    return [own for own in plan.brief.sewing.cloths if own.fabric == fabric]


def at_hand(plan: Plan, fabric: str, which: int, *, open_ended: bool) -> Much:
    """Return what is at hand of one cloth of a fabric.

    Parameters
    ----------
    plan : Plan
        The plan.
    fabric : str
        Id of the fabric.
    which : int
        Which of its cloths, from 0.
    open_ended : bool
        Whether that is yardage.
    """
    told = told_cloths(plan, fabric)
    if told:
        own = told[which]
        length = Inches(own.length.value * own.count) if own.length else NONE
        return Much(length=length) if open_ended else Much(own.count)
    return Much(int(plan.brief.sewing.at_hand and not open_ended))


def backing_at_hand(plan: Plan, cut: Sequence[CuttingPlan]) -> list[Inches]:
    """Return the usable lengths of the backing's fabric that the top leaves."""
    fabric = plan.brief.backing_fabric
    if any(found.fabric == fabric for found in cut):
        return [
            found.spare
            for found in cut
            if found.fabric == fabric and found.cloth.length is not None and found.verdict.fits
        ]
    told = told_cloths(plan, fabric) if fabric else []
    return [
        own.length
        for own in told
        if own.form is FormKind.YARDAGE and own.length
        for _ in range(own.count)
    ]
