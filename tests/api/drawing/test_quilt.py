"""The quilt as shapes: nothing missing, nothing twice, everything where it is sewn."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from math import hypot, sqrt
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from skimage.measure import points_in_poly

from api.drawing.quilt import quilt_scene
from api.pattern.brief import Band
from api.pattern.plan import Plan
from placement.block import block_names, load_block
from placement.inches import Inches
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from api.drawing.scene import Point, Scene, Shape

Make = Callable[..., Plan]

ON_POINT = Setting("on point", 6, 7, Inches.parse("8 1/2"))

SETTINGS = {
    "on point": ON_POINT,
    "on point, alternate": Setting("on point", 3, 4, Inches.parse(6), alternate=True),
    "straight": Setting("straight", 4, 3, Inches.parse("7 1/4")),
    "straight, alternate": Setting("straight", 5, 3, Inches.parse(9), alternate=True),
}


def area(points: tuple[Point, ...]) -> float:
    """Return the signed area (the surveyor's formula), above 0 if clockwise as seen."""
    return sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairwise([*points, points[0]])) / 2


def owners(scene: Scene, points: np.ndarray) -> np.ndarray:
    return np.sum([points_in_poly(points, piece.points) for piece in scene.pieces], axis=0)


def of_role(scene: Scene, role: str) -> list[Shape]:
    return [piece for piece in scene.pieces if piece.role == role]


@pytest.mark.parametrize("border", [0, 4])
@pytest.mark.parametrize("name", SETTINGS)
def test_the_areas_of_all_pieces_add_up_to_the_quilt(
    make_plan: Make, name: str, border: float
) -> None:
    scene = quilt_scene(make_plan(SETTINGS[name], border=border))
    total = sum(area(piece.points) for piece in scene.pieces)
    assert total == pytest.approx(scene.width * scene.height, abs=1e-9)


@pytest.mark.parametrize("name", SETTINGS)
def test_every_sampled_point_lies_in_exactly_one_piece(make_plan: Make, name: str) -> None:
    scene = quilt_scene(make_plan(SETTINGS[name], border=3))
    points = np.random.default_rng(5).random((400, 2)) * [scene.width, scene.height]
    assert set(owners(scene, points)) == {1}


def test_the_on_point_quilt_of_the_trade_has_all_its_parts(make_plan: Make) -> None:
    # 6 x 7 blocks of 8 1/2 in on point: 72 blocks, 22 side triangles, four corners and
    # 72.125 x 84.146 in (common practice; the size follows from the square root of 2).
    scene = quilt_scene(make_plan(ON_POINT, border=4))
    roles = Counter(piece.role for piece in scene.pieces)
    parts = 17  # a sawtooth star: four corners, four geese of three parts, one centre
    assert roles == {
        "patch": 72 * parts,
        "side triangle": 22,
        "corner triangle": 4,
        "border": 4,
    }
    assert scene.width - 8 == pytest.approx(72.1249, abs=5e-5)
    assert scene.height - 8 == pytest.approx(84.1457, abs=5e-5)


def test_setting_triangles_lie_with_their_long_side_on_the_edge_of_the_centre(
    make_plan: Make,
) -> None:
    # Cut twice, a square gives triangles with the straight grain on the long side; cut once, on
    # the two short ones (common practice). Either way the quilt's edge is not on the bias.
    scene = quilt_scene(make_plan(ON_POINT))
    for piece in of_role(scene, "side triangle"):
        assert piece.grain == 0
        sides = [hypot(x1 - x0, y1 - y0) for (x0, y0), (x1, y1) in pairwise(piece.points)]
        assert sides[0] == pytest.approx(8.5 * sqrt(2))
        (x0, y0), (x1, y1) = piece.points[:2]
        assert x0 == x1 in (0, scene.width) or y0 == y1 in (0, scene.height)
    for piece in of_role(scene, "corner triangle"):
        assert piece.grain == 0
        assert area(piece.points) == pytest.approx((8.5 / sqrt(2)) ** 2 / 2)


def test_side_borders_are_sewn_on_before_top_and_bottom(make_plan: Make) -> None:
    scene = quilt_scene(make_plan(SETTINGS["straight"], border=2.5))
    left, right, top, bottom = of_role(scene, "border")
    assert left.points == ((0, 2.5), (2.5, 2.5), (2.5, 24.25), (0, 24.25))
    assert {x for x, _ in right.points} == {31.5, 34}
    assert {x for piece in (top, bottom) for x, _ in piece.points} == {0, scene.width}


def test_side_borders_take_their_cloth_turned_unless_the_print_has_an_up(make_plan: Make) -> None:
    plan = make_plan(SETTINGS["straight"], border=2)
    ground = replace(plan.brief.backgrounds[0], directional=True)
    upright = replace(plan, brief=replace(plan.brief, backgrounds=(ground,)))
    assert [piece.grain for piece in of_role(quilt_scene(plan), "border")] == [90, 90, 0, 0]
    assert {piece.grain for piece in of_role(quilt_scene(upright), "border")} == {0}


def test_a_border_may_have_a_fabric_of_its_own(make_plan: Make) -> None:
    plan = make_plan(SETTINGS["straight"], border=2)
    plan = replace(plan, brief=replace(plan.brief, borders=(Band(Inches.parse(2), "fabric-3"),)))
    assert {piece.fabric for piece in of_role(quilt_scene(plan), "border")} == {"fabric-3"}


def test_blocks_show_their_fabric_on_the_background(make_plan: Make) -> None:
    plan = make_plan(SETTINGS["straight"], block="churn-dash")
    assert plan.layout is not None
    scene = quilt_scene(plan)
    for cell, fabric in enumerate(plan.layout.fabrics):
        shown = [piece.fabric for piece in scene.pieces if piece.cell == cell]
        assert set(shown) == {fabric, "ground"}
    roles = Counter(role for patch in load_block("churn-dash").patches for role, _ in patch.parts())
    assert Counter(p.fabric for p in scene.pieces if p.cell == 0) == {
        "fabric-0": roles["F"],
        "ground": roles["B"],
    }


def test_a_hole_is_one_plain_piece_of_background_that_keeps_its_cell(make_plan: Make) -> None:
    scene = quilt_scene(make_plan(SETTINGS["straight"], holes=(5,)))
    hole = [piece for piece in scene.pieces if piece.cell == 5]
    assert [(piece.fabric, piece.role) for piece in hole] == [("ground", "plain block")]
    assert area(hole[0].points) == pytest.approx(7.25**2)


def test_plain_alternate_blocks_are_background_and_belong_to_no_cell(make_plan: Make) -> None:
    scene = quilt_scene(make_plan(SETTINGS["straight, alternate"]))
    plain = of_role(scene, "plain block")
    assert len(plain) == 7
    assert {(piece.fabric, piece.cell) for piece in plain} == {("ground", None)}


def test_a_turned_block_stands_on_its_head(make_plan: Make) -> None:
    plan = make_plan(SETTINGS["straight"], block="shoo-fly", directional=True)
    assert plan.layout is not None
    upright = quilt_scene(replace(plan, layout=replace(plan.layout, turned=())))
    turned = quilt_scene(replace(plan, layout=replace(plan.layout, turned=(0,))))
    before = [piece for piece in upright.pieces if piece.cell == 0]
    after = [piece for piece in turned.pieces if piece.cell == 0]
    for first, second in zip(before, after, strict=True):
        mirrored = [(7.25 - x, 7.25 - y) for x, y in first.points]
        assert np.allclose(mirrored, second.points)
        assert (second.grain - first.grain) % 360 == 180


def test_a_print_with_an_up_lies_the_same_way_in_every_patch_of_a_block(make_plan: Make) -> None:
    def grains(directional: bool) -> set[float]:
        scene = quilt_scene(make_plan(SETTINGS["on point"], directional=directional))
        return {piece.grain for piece in scene.pieces if piece.fabric == "fabric-0"}

    assert grains(directional=True) == {45.0, 225.0}
    assert grains(directional=False) == {45.0, 135.0, 225.0, 315.0}


def test_patches_of_one_fabric_are_cut_from_different_places(make_plan: Make) -> None:
    scene = quilt_scene(make_plan(ON_POINT, border=4))
    for fabric in ("fabric-1", "ground"):
        places = [piece.place for piece in scene.pieces if piece.fabric == fabric]
        assert len(set(places)) > 0.95 * len(places)
        assert all(0 <= part < 1 for place in places for part in place)


def test_without_a_background_the_plain_parts_have_no_fabric(make_plan: Make) -> None:
    plan = make_plan(SETTINGS["straight"], border=2)
    plan = replace(plan, background="", brief=replace(plan.brief, background="", backgrounds=()))
    scene = quilt_scene(plan)
    assert "" in {piece.fabric for piece in scene.pieces}
    assert "" not in {cloth.id for cloth in scene.cloths}


def test_a_plan_without_a_layout_is_refused_with_a_sentence(make_plan: Make) -> None:
    plan = replace(make_plan(SETTINGS["straight"]), layout=None)
    with pytest.raises(ValueError, match="no layout yet; arrange it"):
        quilt_scene(plan)


def test_sashing_and_cornerstones_are_drawn_in_their_fabrics(make_plan: Make) -> None:
    # 4ab = 8 strips, 2ab - a - b = 1 whole and 2(a + b) = 6 half cornerstones.
    setting = Setting("on point", 2, 1, Inches.parse(8), False, Inches.parse(1), True)
    plan = make_plan(setting)
    named = {"sashing_fabric": "fabric-1", "cornerstone_fabric": "fabric-2"}
    scene = quilt_scene(replace(plan, brief=replace(plan.brief, **named)))
    strips, stones = of_role(scene, "sashing"), of_role(scene, "cornerstone")
    assert ({p.fabric for p in strips}, len(strips)) == ({"fabric-1"}, 8)
    assert ({p.fabric for p in stones}, len(stones)) == ({"fabric-2"}, 7)
    assert sorted(round(area(p.points), 9) for p in stones) == [0.5] * 6 + [1.0]
    plain = quilt_scene(plan)
    assert {p.fabric for p in (*of_role(plain, "sashing"), *of_role(plain, "cornerstone"))} == {
        "ground"
    }


@settings(max_examples=25, deadline=None)
@given(
    kind=st.sampled_from(["on point", "straight"]),
    across=st.integers(1, 4),
    down=st.integers(1, 4),
    alternate=st.booleans(),
    sash=st.integers(0, 7),
    stones=st.booleans(),
    eighths=st.integers(8, 120),
    border=st.integers(0, 48),
    block=st.sampled_from(block_names()),
)
def test_any_small_quilt_is_covered_once_and_shows_every_cell(
    make_plan: Make,
    kind: str,
    across: int,
    down: int,
    alternate: bool,
    sash: int,
    stones: bool,
    eighths: int,
    border: int,
    block: str,
) -> None:
    block_side, strip = (Inches.parse(part / 8) for part in (eighths, sash))
    setting = Setting(kind, across, down, block_side, alternate, strip, stones)  # type: ignore[arg-type]
    scene = quilt_scene(make_plan(setting, block=block, border=border / 8))
    areas = [area(piece.points) for piece in scene.pieces]
    assert min(areas) > 0
    assert sum(areas) == pytest.approx(scene.width * scene.height, abs=1e-9)
    corners = np.array([point for piece in scene.pieces for point in piece.points])
    assert corners.min() > -1e-9
    assert np.all(corners < np.array([scene.width, scene.height]) + 1e-9)
    cells = {piece.cell for piece in scene.pieces} - {None}
    assert cells == set(range(len(setting.cells())))
