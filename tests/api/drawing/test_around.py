"""Borders and binding as polygons: where each is sewn, and what a page gets of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import pytest

from api.drawing.around import around, binding_shows, plain_blocks
from api.drawing.quilt import quilt_scene
from api.pattern.brief import Band, OwnBlock
from api.pattern.plan import Plan
from api.storage.kept import Saved
from api.web.wire.responses import PlanView
from api.web.wire.view import Views
from placement.inches import Inches
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from api.drawing.scene import Point, Shape

Make = Callable[..., Plan]

STRAIGHT = Setting("straight", 3, 2, Inches.parse(6))
ON_POINT = Setting("on point", 3, 2, Inches.parse(8), alternate=True)
BANDS = (Band(Inches.parse(1), "fabric-1"), Band(Inches.parse("2 1/2")))


def _seen(plan: Plan) -> PlanView:
    """Return a plan as a page sees it, in the form that is described."""
    saved = Saved("x", 1, "", can_undo=False, can_redo=False)
    return PlanView.model_validate(Views().of(saved, plan))


def framed(plan: Plan, corner: str = "butted", **fields: Any) -> Plan:
    sewing = replace(plan.brief.sewing, corner=corner)
    return replace(plan, brief=replace(plan.brief, borders=BANDS, sewing=sewing, **fields))


def area(points: tuple[Point, ...]) -> float:
    """Return the signed area (the surveyor's formula), above 0 if clockwise as seen."""
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairwise([*points, points[0]])) / 2


def box(pieces: list[Shape]) -> tuple[float, float, float, float]:
    xs, ys = zip(*(point for piece in pieces for point in piece.points), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("corner", ["butted", "mitred"])
@pytest.mark.parametrize("setting", [STRAIGHT, ON_POINT])
def test_borders_and_binding_add_up_to_the_whole(
    make_plan: Make, setting: Setting, corner: str
) -> None:
    scene = quilt_scene(framed(make_plan(setting), corner, binding_fabric="fabric-2"))
    # Centre, 3 1/2 in of borders and 1/4 in of binding on every side.
    assert scene.width == pytest.approx(setting.width + 2 * 3.75)
    total = sum(area(piece.points) for piece in scene.pieces)
    assert total == pytest.approx(scene.width * scene.height, abs=1e-9)
    assert all(area(piece.points) > 0 for piece in scene.pieces)


def test_each_border_encloses_the_one_before_in_its_own_fabric(make_plan: Make) -> None:
    strips = [p for p in around(framed(make_plan(STRAIGHT)), 3.5) if p.role == "border"]
    inner, outer = strips[:4], strips[4:]
    assert box(inner) == (2.5, 2.5, 22.5, 16.5)
    assert box(outer) == (0, 0, 25, 19)
    assert {p.fabric for p in inner} == {"fabric-1"}
    assert {p.fabric for p in outer} == {"ground"}


def test_a_mitred_border_meets_at_45_degrees(make_plan: Make) -> None:
    left, right, top, bottom = list(around(framed(make_plan(STRAIGHT), "mitred"), 3.5))[:4]
    for piece in (left, right, top, bottom):
        (x0, y0), (x1, y1) = sorted(set(piece.points), key=lambda at: (at[0], at[1]))[:2]
        assert abs(x1 - x0) in (0, 1) or abs(y1 - y0) == 1
    assert area(left.points) == pytest.approx((14 + 12) / 2 * 1)
    assert area(top.points) == pytest.approx((20 + 18) / 2 * 1)


def test_the_binding_is_drawn_once_its_fabric_is_chosen_and_as_wide_as_the_seam(
    make_plan: Make,
) -> None:
    plan = framed(make_plan(STRAIGHT))
    assert binding_shows(plan.brief) == 0
    assert not [p for p in around(plan, 3.5) if p.role == "binding"]
    bound = framed(plan, binding_fabric="fabric-2")
    strips = [p for p in around(bound, 3.5) if p.role == "binding"]
    assert box(strips) == (-0.25, -0.25, 25.25, 19.25)
    assert {p.fabric for p in strips} == {"fabric-2"}


def test_a_second_feature_takes_its_own_fabric(make_plan: Make) -> None:
    block = OwnBlock("Two features", ("1", "1", "1"), ("1", "1", "1"),
                     ("F B F", "B S B", "F B F"))  # fmt: skip
    plan = make_plan(STRAIGHT)
    plan = replace(plan, brief=replace(plan.brief, own_block=block))
    own = replace(plan, brief=replace(plan.brief, second_fabric="fabric-3"))
    first = [p.fabric for p in quilt_scene(own).pieces if p.cell == 0]
    assert set(first) == {"fabric-0", "fabric-3", "ground"}
    assert {p.fabric for p in quilt_scene(plan).pieces if p.cell == 0} == {"fabric-0", "ground"}


def test_a_page_gets_every_piece_that_is_no_block_and_where_the_centre_lies(
    make_plan: Make,
) -> None:
    plan = framed(make_plan(ON_POINT), binding_fabric="fabric-2")
    seen = _seen(plan)
    assert (seen.centre.x, seen.centre.y) == (3.5, 3.5)
    assert (seen.centre.turn, seen.centre.side) == (45, 8.0)
    parts = [entry.part for entry in seen.around]
    assert (
        parts.count("plain block")
        == len(ON_POINT.plain_cells())
        == len(list(plain_blocks(plan, 0)))
    )
    assert parts.count("side triangle") == ON_POINT.side_triangles
    assert (parts.count("border"), parts.count("binding")) == (8, 4)
    scene = quilt_scene(plan)
    drawn = [p for p in scene.pieces if p.cell is None]
    assert len(drawn) == len(seen.around)
    for piece, entry in zip(drawn, seen.around, strict=True):
        assert [(x - 0.25, y - 0.25) for x, y in piece.points] == [
            pytest.approx(at) for at in entry.points
        ]


def test_a_plan_without_a_layout_has_its_surroundings_too(make_plan: Make) -> None:
    bare = replace(make_plan(ON_POINT), layout=None)
    seen = _seen(bare)
    assert {entry.part for entry in seen.around} >= {"side triangle", "corner triangle"}
