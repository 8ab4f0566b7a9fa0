"""Every plan passes every judge: a spread of invented briefs with all features and blocks."""

from __future__ import annotations

import random
from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from api.pattern.brief import Band, Brief
from api.pattern.cut_book import CutBook, cloth_form, cut_book
from api.pattern.planner import look
from api.pattern.sewing import OwnCloth, Sewing
from placement.block import block_names
from placement.checks import Fault, judge_setting
from placement.checks.around import (
    Edge,
    judge_backing,
    judge_binding,
    judge_borders,
    judge_purchase,
)
from placement.checks.cutting import judge_cutting
from placement.checks.pieces import Top, judge_pieces
from placement.checks.pressing import judge_geese, judge_pressing
from placement.cloth.yardage import washed
from placement.inches import Inches
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.plan import Plan
    from placement.cloth.cutting import Piece

LENGTHS = {
    "inches": (("6", "8 1/2", "9", "10"), "1 1/2", ("1", "4"), "1/4"),
    "metric": (("160 mm", "210 mm", "250 mm"), "40 mm", ("30 mm", "100 mm"), "7.5 mm"),
}
"""Blocks, sashing, borders and seam allowance in each unit."""


def _invented(brief: Brief, block: str, seed: int) -> Plan:
    """Return a plan of that block in which everything else is drawn by lot."""
    rng = random.Random(seed)
    units = rng.choice(("inches", "metric"))
    blocks, sash, bands, seam = LENGTHS[units]
    kind = rng.choice(("on point", "straight"))
    side, wide = Inches.parse(rng.choice(blocks)), Inches.parse(rng.choice(("0", sash)))
    setting = Setting(
        kind, rng.randint(2, 5), rng.randint(2, 5), side, rng.random() < 0.3, wide,
        rng.random() < 0.6,
    )  # fmt: skip
    swatches = tuple(replace(s, directional=rng.random() < 0.3) for s in brief.swatches)
    names = [swatch.fabric.id for swatch in swatches]
    sewing = Sewing(
        seam=Inches.parse(seam),
        triangles=rng.choice(("one", "two", "four", "eight")),
        form=rng.choice(("yardage", "fat quarter")),
        cloths=(OwnCloth(names[0], "fat quarter", rng.randint(1, 3)),),
        corner=rng.choice(("butted", "mitred")),
        join=rng.choice(("diagonal", "straight")),
        grain=rng.choice(("straight", "bias")),
        shrinkage=float(rng.randint(0, 8)),
    )
    drawn = replace(
        brief,
        swatches=swatches,
        block=block,
        setting=setting,
        sewing=sewing,
        units=units,
        sashing_fabric=rng.choice(("", names[1])),
        cornerstone_fabric=rng.choice(("", names[2])),
        second_fabric=rng.choice(("", names[3])),
        binding_fabric=rng.choice(("", names[4])),
        borders=tuple(
            Band(Inches.parse(rng.choice(bands)), rng.choice(("", *names[:5])))
            for _ in range(rng.randint(0, 3))
        ),
    )
    cells = len(setting.cells())
    layout = Layout(setting, tuple(rng.choice(names[:6]) for _ in range(cells)))
    return replace(look(drawn), layout=layout)


def _top(plan: Plan, book: CutBook) -> Top:
    sewing, strips = plan.brief.sewing, plan.sashing_fabric or plan.background
    assert plan.layout is not None
    return Top(
        plan.layout,
        plan.brief.pattern(),
        sewing.seam,
        sewing.squaring,
        Inches.parse("5 mm" if plan.brief.units == "metric" else "1/8"),
        {cloth.fabric: cloth.cloth.form.width for cloth in book.cloths},
        plan.background,
        plan.brief.second_fabric,
        strips,
        plan.cornerstone_fabric or strips,
    )


def _edge(plan: Plan) -> Edge:
    setting, sewing = plan.brief.setting, plan.brief.sewing
    # A diagonal join loses the cut width, a straight one two seams; common practice.
    lost = sewing.binding.value if sewing.join == "diagonal" else 2 * sewing.seam.value
    return Edge(
        setting.width, setting.height, sewing.seam, float(sewing.extra), float(lost),
        float(sewing.margin),
    )  # fmt: skip


def _list_faults(plan: Plan, book: CutBook) -> Iterator[Fault]:
    """Yield faults of what is cut, whatever cloth it is cut from."""
    edge, brief = _edge(plan), plan.brief
    yield from judge_pieces(_top(plan, book), book.pieces, book.strip_sets)
    asked = [(b.width, f) for b, f in zip(brief.borders, plan.border_fabrics, strict=True)]
    yield from judge_borders(edge, book.borders, asked, book.pieces)
    around = 2 * sum(float(band.width) for band in brief.borders)
    size = edge.width + around, edge.height + around
    yield from judge_binding(edge, size, book.binding, book.pieces)
    back = washed(cloth_form("yardage", brief), brief.sewing.shrunk).width
    yield from judge_backing(edge, size, back, book.backing)
    for cloth in book.cloths:
        yield from judge_purchase(cloth, brief.sewing.shrunk)


def _faults(plan: Plan, book: CutBook) -> Iterator[Fault]:
    yield from judge_setting(plan.brief.setting)
    yield from _list_faults(plan, book)
    yield from judge_geese(book.pressing, plan.brief.pattern())
    if not book.pressing.failing and _touching(plan.brief.setting):
        yield from judge_pressing(book.pressing)
    for cloth in book.cloths:
        yield from judge_cutting(_of(plan, book, cloth.fabric), cloth)


def _touching(setting: Setting) -> bool:
    """Whether blocks lie side by side: the judge of pressing knows of nothing between them."""
    return not setting.sashing.value and not setting.alternate


def _of(plan: Plan, book: CutBook, fabric: str) -> tuple[Piece, ...]:
    """Return the pieces of a fabric, those of a directional print not to be turned."""
    fixed = plan.swatch(fabric).directional
    pieces = (piece for piece in book.pieces if piece.fabric == fabric)
    return tuple(replace(piece, turn=piece.turn and not fixed) for piece in pieces)


@pytest.mark.parametrize("block", block_names())
def test_every_invented_plan_passes_the_judges(brief: Brief, block: str) -> None:
    for seed in range(3):
        plan = _invented(brief, block, seed=hash_of(block, seed))
        book = cut_book(plan)
        assert list(_faults(plan, book)) == [], (plan.brief.setting, plan.brief.sewing)
        cut = {cloth.fabric for cloth in book.cloths}
        assert {piece.fabric for piece in book.pieces} <= cut


def hash_of(block: str, seed: int) -> int:
    """Return the same number for a block and a seed on every machine."""
    return sum(block.encode()) * 31 + seed
