"""Least cloth or simplest cutting: the plan she asked for, and the other told beside it."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from placement.cloth.cut_terms import CutTerms
from placement.cloth.cutting import (
    Aim,
    Cloth,
    CutKind,
    CuttingPlan,
    Fit,
    Otherwise,
    Piece,
    PieceKind,
    Then,
    Use,
    Wider,
)
from placement.cloth.instructions import handwork, instructions
from placement.cloth.simple_cuts import SimpleCuts, SimplePlans, SimpleTerms
from placement.cloth.strips import NONE, cut
from placement.cloth.yardage import longest_usable, shop_step, to_buy
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Sequence

    from placement.cloth.cutting import Cut


HALF_INCH = Inches(Fraction(1, 2))
"""By how much more usable width a plan is tried anew."""


def cut_for(pieces: Sequence[Piece], cloth: Cloth, terms: CutTerms | None = None) -> CuttingPlan:
    """Return how to cut pieces from cloth by her aim, with the other aim's plan told beside it.

    The simplest plan is, of all that cost no more than the allowance above the
    least, one with the fewest instructions, then ruler settings, then cuts, among
    plans of the form told at ``placement.cloth.solver.simplest``; where there is
    none, it is the plan of least cloth. That is the simplest of its length in turn:
    what takes no more cloth and asks for less takes its place. From pre-cuts and
    yardage at hand, all that is there may be used. Strips of strip sets run across the
    cloth; where the least cloth has them turned and the allowance does not suffice,
    the least without such turns takes its place.

    Parameters
    ----------
    pieces : sequence of Piece
        What to cut from this cloth; fabrics are not compared.
    cloth : Cloth
        Its form, how many pieces of it, and for yardage its length if it is at hand.
    terms : CutTerms
        Her aim and how it is reached; None takes the usual.

    Raises
    ------
    ValueError
        If a piece has no size or no count, or there is no cloth or no effort.
    """
    terms = terms or CutTerms()
    found = _least(pieces, cloth, terms)
    if not pieces:
        return replace(found, aim=terms.aim)
    least, simple = _both(pieces, found, terms)
    chosen, other = (least, simple) if terms.aim is Aim.LEAST else (simple, least)
    return replace(
        chosen,
        aim=terms.aim,
        otherwise=Otherwise(
            other.used, other.buy, other.handwork, two_grains=_two_grains(pieces, least)
        ),
        wider=_wider(pieces, simple, terms),
    )


def _both(
    pieces: Sequence[Piece], found: CuttingPlan, terms: CutTerms
) -> tuple[CuttingPlan, CuttingPlan]:
    """Return the least cloth's plan, as simple as its length allows, and the simplest."""
    plans = _plans(pieces, found, terms)
    level = _better(plans, found, terms, found.used) or found
    # Where the simple plan takes less to buy than was found, the allowance counts from there.
    simple = _better(plans, found, terms, _limit(level, terms)) or _one_grain(pieces, level, terms)
    if level.handwork < simple.handwork and not _two_grains(pieces, level):
        # As laid, strips of several batches may be cut alike.
        simple = level
    return (simple if _dominates(simple, level) else level), simple


def _dominates(one: CuttingPlan, other: CuttingPlan) -> bool:
    """Whether a plan that fits takes no more cloth than another and asks for no more."""
    return one.verdict.fits and one.used <= other.used and one.handwork <= other.handwork


def _least(pieces: Sequence[Piece], cloth: Cloth, terms: CutTerms) -> CuttingPlan:
    plan = cut(pieces, cloth, stacking=terms.stacking, effort=terms.effort,
               squaring=terms.squaring, shrinkage=terms.shrinkage)  # fmt: skip
    return replace(plan, handwork=handwork(plan.cuts, cloth.form.width, terms.layers))


def _two_grains(pieces: Sequence[Piece], plan: CuttingPlan) -> bool:
    """Whether strips of strip sets are turned."""
    sewn = {piece.use for piece in pieces if piece.then is Then.STRIP_SET}
    return any(cut.turned and cut.use in sewn for cut in plan.cuts)


def _one_grain(pieces: Sequence[Piece], least: CuttingPlan, terms: CutTerms) -> CuttingPlan:
    """Return a plan without turned strips of strip sets, as simple as it can be then."""
    if not _two_grains(pieces, least):
        return least
    along = [replace(p, turn=p.turn and p.then is not Then.STRIP_SET) for p in pieces]
    within = _first(_plans(along, least, terms, compared=False), least, terms)
    if within is not None:
        return within
    grained = _least(along, least.cloth, terms)
    if not grained.verdict.fits:
        return least
    limit = _limit(least, terms)
    if limit is not None and grained.used <= limit:
        # What it costs is allowed; nothing simpler is.
        return _slackened(grained, terms)
    within = _first(_plans(along, grained, terms, compared=False), grained, terms)
    return within or _slackened(grained, terms)


def _slackened(plan: CuttingPlan, terms: CutTerms) -> CuttingPlan:
    """Leave their slack on strips of sets that have a strip of the cloth to themselves."""
    inside = Counter(cut.inside for cut in plan.cuts)
    width = plan.cloth.form.width
    cuts = tuple(
        replace(cut, x=NONE, width=width)
        if cut.use == Use(PieceKind.SET_STRIP) and inside[cut.inside] == 1
        else cut
        for cut in plan.cuts
    )
    return _with(plan, cuts, plan.used, terms)


def _limit(least: CuttingPlan, terms: CutTerms) -> Inches | None:
    """Return how high simple strips may be in all; None if the pieces don't fit."""
    if not least.verdict.fits:
        return None
    if least.buy is None:
        return Inches(least.used.value + least.spare.value)
    allowed = terms.allowance.value
    paid = longest_usable(least.buy, terms.shrinkage)
    # What is bought goes by the shop's steps: the allowance counts in whole ones.
    step = shop_step(least.cloth.form).value
    most = Inches((least.buy.value + allowed) // step * step)
    more = longest_usable(most, terms.shrinkage)
    return max(paid, min(more, Inches(least.used.value + allowed)))


def _plans(
    pieces: Sequence[Piece], least: CuttingPlan, terms: CutTerms, *, compared: bool = True
) -> SimplePlans | None:
    """Return simple plans within the allowance; compared, they look for less than the least's."""
    limit = _limit(least, terms)
    if limit is None:
        return None
    simple = SimpleTerms(terms.layers, terms.stacking, terms.squaring)
    return SimplePlans(pieces, least.cloth, limit, simple, least.handwork if compared else None)


def _better(
    plans: SimplePlans | None, least: CuttingPlan, terms: CutTerms, limit: Inches | None = None
) -> CuttingPlan | None:
    """Return the simplest plan if it asks for no more than the least cloth's."""
    plan = _first(plans, least, terms, limit)
    return None if plan is None or plan.handwork > least.handwork else plan


def _first(
    plans: SimplePlans | None, least: CuttingPlan, terms: CutTerms, limit: Inches | None = None
) -> CuttingPlan | None:
    found = None if plans is None else plans.first(limit)
    return None if found is None else _plan(least, found, terms)


def _plan(least: CuttingPlan, simple: SimpleCuts, terms: CutTerms) -> CuttingPlan:
    """Put simple cuts in the place of the least's."""
    plan = _with(least, simple.cuts, simple.used, terms)
    if least.buy is None:
        room = least.used.value + least.spare.value
        plan = replace(plan, spare=Inches(room - simple.used.value))
        if simple.stacked and least.verdict is Fit.FITS:
            # What was proved of plans without stacks does not hold for those with them.
            area = sum(c.width.value * c.height.value for c in least.cuts if c.use is not None)
            plan = replace(plan, bound=Inches(area / least.cloth.form.width.value))
    else:
        buy = to_buy(simple.used, shop_step(least.cloth.form), terms.shrinkage)
        plan = replace(plan, buy=buy)
    return replace(plan, verdict=Fit.STACKED if simple.stacked else Fit.FITS)


def _with(plan: CuttingPlan, cuts: tuple[Cut, ...], used: Inches, terms: CutTerms) -> CuttingPlan:
    """Return a plan with other cuts, and what follows from them."""
    width = plan.cloth.form.width
    area = sum(c.width.value * c.height.value for c in cuts if c.kind is CutKind.PIECE)
    return replace(
        plan,
        cuts=cuts,
        used=used,
        needed=used,
        waste=float(1 - area / (used.value * width.value)),
        handwork=handwork(cuts, width, terms.layers),
    )


def _wider(pieces: Sequence[Piece], plan: CuttingPlan, terms: CutTerms) -> Wider | None:
    """Return what half an inch more of usable width would change; None if it would nothing."""
    form = plan.cloth.form
    width = Inches(form.width.value + HALF_INCH.value)
    if width > form.nominal_width or not _gains(pieces, form.width, width):
        return None
    cloth = replace(plan.cloth, form=replace(form, width=width))
    fits, height = plan.verdict.fits, cloth.height
    limit = plan.used if fits or height is None else Inches(height.value * cloth.count)
    simple = SimpleTerms(terms.layers, terms.stacking, terms.squaring)
    found = SimplePlans(pieces, cloth, limit, simple).first()
    if found is None:
        return None
    work = handwork(found.cuts, width, terms.layers)
    buy = None if plan.buy is None else to_buy(found.used, shop_step(form), terms.shrinkage)
    less = buy is not None and plan.buy is not None and buy < plan.buy
    if fits and not less and work.instructions >= plan.handwork.instructions:
        return None
    halves = any(line.halved for line in instructions(found.cuts, width, terms.layers))
    return Wider(width, found.used, buy, work, halves)


def _gains(pieces: Sequence[Piece], width: Inches, wider: Inches) -> bool:
    """Whether a wider strip holds another piece of some size."""
    sides = [
        side.value
        for piece in pieces
        for side in (piece.width, *((piece.height,) if piece.turn else ()))
    ]
    return any(wider.value // side > width.value // side for side in sides)
