"""Other forms of cloth that the fabrics of a plan may come in, each laid the better way."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from api.pattern.cut_book import solver
from placement.cloth.alternates import (
    FEATURE,
    GROUND,
    SECOND,
    Alternate,
    Blocks,
    alternate,
    best_of,
    ways_of,
)
from placement.cloth.forms import SOLD, Along, Form, FormKind
from placement.cloth.yardage import washed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan
    from placement.cloth.alternates import Solve

_KEPT = 64
"""Answers that are kept: a page asks for one plan many times over."""


def every_form(plan: Plan, book: CutBook) -> tuple[Alternate, ...]:
    """Return what every form of cloth does for the blocks, each way it can be laid.

    Parameters
    ----------
    plan : Plan
        A plan with a layout and a background.
    book : CutBook
        What is cut for it.

    Returns
    -------
    tuple of Alternate
        The form in use first; one's own measure only where it is told.
    """
    sewing = plan.brief.sewing
    kinds = dict.fromkeys((sewing.form, *SOLD))
    if sewing.own_measure:
        kinds[FormKind.OWN] = None
    forms = [form_of_plan(plan, kind) for kind in kinds]
    return tuple(told for form in forms for told in _ways(plan, book, form))


def usual_told(plan: Plan, book: CutBook) -> Alternate:
    """Return what the form in use does for the blocks, as it is laid."""
    form, along = usual_form(plan), plan.brief.sewing.along
    return _told(blocks_of(plan, book), form, along, form, solver(plan))


def chosen_forms(plan: Plan, book: CutBook) -> tuple[Alternate, ...]:
    """Return the alternates that the pattern is told for, each laid the better way.

    Parameters
    ----------
    plan : Plan
        A plan with a layout and a background.
    book : CutBook
        What is cut for it.
    """
    kinds = plan.brief.sewing.alternates
    return tuple(best_of(_ways(plan, book, form_of_plan(plan, kind))) for kind in kinds)


def _ways(plan: Plan, book: CutBook, form: Form) -> list[Alternate]:
    """Return what a form does for the blocks, each way it can be laid."""
    blocks, usual = blocks_of(plan, book), usual_form(plan)
    return [
        _told(blocks, form, along, usual, solver(plan))
        for along in ways_of(form, directional=blocks.directional)
    ]


def form_of_plan(plan: Plan, kind: FormKind) -> Form:
    """Return a form of cloth as work on a plan takes it: in its units, yardage washed.

    Raises
    ------
    ValueError
        If it is of one's own measure and that is not told.
    """
    sewing = plan.brief.sewing
    return washed(sewing.form_called(kind, plan.brief.units), sewing.shrunk)


def usual_form(plan: Plan) -> Form:
    """Return the form that the fabrics of a plan come in, as it is laid."""
    return washed(plan.brief.sewing.usual_form(plan.brief.units), plan.brief.sewing.shrunk)


def blocks_of(plan: Plan, book: CutBook) -> Blocks:
    """Return the blocks of a plan, for which cloth is chosen.

    Raises
    ------
    ValueError
        If the plan has no layout yet.
    """
    layout, brief = plan.layout, plan.brief
    if layout is None:
        raise ValueError("this plan has no layout yet; arrange it before choosing cloth")
    counts = layout.counts()
    ground = [c.cloth.form.width for c in book.cloths if c.fabric == plan.background]
    return Blocks(
        brief.pattern(),
        layout.setting.block_size,
        tuple(sorted(counts.values())),
        brief.sewing.terms(brief.units),
        ground[0] if ground else usual_form(plan).width,
        bool(brief.second_fabric) and brief.pattern().has("S"),
        frozenset(_one_way(plan, tuple(counts))),
    )


def _one_way(plan: Plan, laid: Sequence[str]) -> Iterator[str]:
    """Yield which of the cloths of a block has an up and a down."""
    cloths = {FEATURE: laid, GROUND: (plan.background,), SECOND: (plan.brief.second_fabric,)}
    for role, fabrics in cloths.items():
        if any(plan.swatch(fabric).directional for fabric in fabrics if fabric):
            yield role


@lru_cache(maxsize=_KEPT)
def _told(blocks: Blocks, form: Form, along: Along, usual: Form, solve: Solve) -> Alternate:
    return alternate(blocks, form, along, usual, solve)
