"""Every number of a cut book is damaged, and the judges must notice; what may pass says why."""

from __future__ import annotations

from functools import cache

import pytest

from api.pattern.checking import check
from api.pattern.cut_book import cut_book
from tests.api.varied import plan_named
from tests.damage import damages

DAMAGED = ("uneven-nine-patch 1", "own wheel again", "shoo-fly 1")
"""Plans whose every field is damaged: strip sets, triangles, sashing, borders, own squares."""

MAY_PASS: dict[str, str] = {
    "Backing.seams": "in one piece it may lie either way",
    "Cloth.fabric": "told beside the cutting plan's own",
    "Cloth.length": "cloth at hand; that the cuts lie on it is judged",
    "Cut.turned": "a square lies alike either way",
    "Cut.x": "a piece may lie anywhere in its strip",
    "CutBook.backing": "the second way may be left out",
    "CutBook.notes": "advice",
    "CuttingPlan.aim": "what was looked for",
    "CuttingPlan.bound": "a proof; that it is not above what is used is judged",
    "CuttingPlan.enough": "advice where cloth is short",
    "CuttingPlan.needed": "told of the best plan found",
    "CuttingPlan.sold_short": "told of cloth as sold",
    "CuttingPlan.too_large": "told where a piece is larger than the cloth",
    "CuttingPlan.verdict": "what falls short may be told as undecided",
    "CuttingPlan.wider": "advice where a piece is larger than the cloth",
    "Handwork.cuts": "a comparison of plans",
    "Handwork.instructions": "a comparison of plans",
    "Handwork.settings": "a comparison of plans",
    "Note.kind": "advice",
    "Note.near": "advice",
    "Note.reason": "of notes on methods alone, where it is judged",
    "Note.unit": "of notes on methods alone, where it is judged",
    "Otherwise.buy": "told of the other plan, which is judged when it is taken",
    "Otherwise.two_grains": "told of the other plan, which is judged when it is taken",
    "Otherwise.used": "told of the other plan, which is judged when it is taken",
    "Piece.turn": "may be less free than the cloth allows",
    "Pressing.alone": "told for its words; the seams are judged",
    "Pressing.kindness": "which of two good pressings was taken",
    "Pressing.plans": "a seam that meets none in line, between cloths alike, may lie either way",
    "Sashing.half_square": "told on point with cornerstones only",
    "Seam.start": "a shorter seam between the same cloths; where others meet it is judged",
    "SettingSquares.rule": "the rule of thumb, told beside the exact size",
}
"""Fields in which not every damage is a fault, and why."""


@cache
def _answers() -> dict[str, set[bool]]:
    """Return for every field whether its damages were found."""
    found: dict[str, set[bool]] = {}
    for name in DAMAGED:
        plan = plan_named(name)
        book = cut_book(plan)
        for field, damaged in damages(book):
            if damaged is not None and damaged != book:
                found.setdefault(field, set()).add(bool(check.__wrapped__(plan, damaged)))
    return found


@pytest.mark.slow
def test_every_number_that_is_damaged_is_found() -> None:
    """A field whose damage passes unnoticed is listed with the reason, and none else."""
    passed = {field for field, answers in _answers().items() if False in answers}
    assert passed == MAY_PASS.keys()
