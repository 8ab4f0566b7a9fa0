"""Setting squares cut larger and trimmed: what is cut, told, drawn and printed of them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from api.drawing.quilt import quilt_scene
from api.pattern.brief import Band
from api.pattern.checking import check
from api.pattern.cut_book import cut_book
from api.wording.cutting import cutting_text
from placement.checks.fault import FaultKind
from placement.inches import Inches
from placement.top.setting.setting import Setting
from tests.api.varied import varied

if TYPE_CHECKING:
    from api.pattern.plan import Plan

ON_POINT = Setting("on point", 3, 4, Inches.parse(7))


def _plan(**sewing: Any) -> Plan:
    plan = varied("nine-patch", 1, units="inches", setting=ON_POINT, borders=(),
                  binding_fabric="fabric-90", backing_fabric="")  # fmt: skip
    changed = {name: Inches.parse(value) for name, value in sewing.items()}
    plain = {"side_square": None, "corner_square": None, "seam": Inches.parse("1/4"),
             "oversize": Inches.parse(0), "floating": Inches.parse(0)}  # fmt: skip
    sewing_now = replace(plan.brief.sewing, **{**plain, **changed})
    return replace(plan, brief=replace(plan.brief, sewing=sewing_now))


def test_a_quilt_whose_blocks_float_is_larger_in_everything_told() -> None:
    plain, floats = _plan(), _plan(floating="1/2")
    (width, height), (wide, high) = plain.brief.size(), floats.brief.size()
    # 3 x 7 sqrt 2 = 29.698 in and half an inch on either side.
    assert (width, wide - width, high - height) == pytest.approx((29.698485, 1.0, 1.0))
    book, other = cut_book(floats), cut_book(plain)
    assert check(floats, book) == ()
    assert book.binding.length - other.binding.length == pytest.approx(4)
    assert book.batting[0] - other.batting[0] == pytest.approx(1)
    assert quilt_scene(floats).width - quilt_scene(plain).width == pytest.approx(1)
    text = cutting_text(floats, book)
    assert "trim its edges 3/4 in outside the points: the blocks float by 1/2 in" in text
    assert "grows from 29 3/4 in x 39 5/8 in to 30 3/4 in x 40 5/8 in" in text


def test_squares_cut_larger_and_trimmed_to_the_points_keep_the_size() -> None:
    plain, larger = _plan(), _plan(oversize="1")
    assert plain.brief.size() == larger.brief.size()
    book = cut_book(larger)
    assert [str(each.cut) for each in book.setting] == ["12 1/8", "6 7/8"]
    assert check(larger, book) == ()
    assert "the finished size stays" in cutting_text(larger, book)


def test_borders_go_round_the_top_as_it_really_is() -> None:
    """Own squares that are too small make the top smaller, and all that goes round it."""
    plan = _plan(side_square="10 1/2")
    plan = replace(plan, brief=replace(plan.brief, borders=(Band(Inches.parse(3)),)))
    book = cut_book(plan)
    # (10 1/2 - 11.1066) / 2 = -0.3033 in a side: 29.698 - 0.607 + 6 = 35.092 in.
    assert book.borders[0].width == pytest.approx(35.0919, abs=5e-4)
    assert check(plan, book) == ()


@pytest.mark.parametrize(
    ("made", "asked", "kind"),
    [
        ({"floating": "1/2"}, {}, FaultKind.BINDING_LENGTH),
        ({}, {"floating": "1/2"}, FaultKind.BINDING_LENGTH),
        ({}, {"oversize": "1"}, FaultKind.SETTING_SQUARE),
        ({"oversize": "1"}, {"oversize": "1/2"}, FaultKind.SETTING_SQUARE),
        ({}, {"side_square": "10 1/2"}, FaultKind.BATTING),
    ],
)
def test_what_is_cut_for_another_trim_is_found(
    made: dict[str, str], asked: dict[str, str], kind: FaultKind
) -> None:
    book = cut_book(_plan(**made))
    assert kind in {found.kind for found in check(_plan(**asked), book)}


def test_the_drawn_edge_is_covered_once() -> None:
    """Polygons of blocks and triangles fill the top without gaps and without lying double."""
    for by in ("0", "1/2"):
        plan = _plan(floating=by)
        scene = quilt_scene(plan)
        shows = 2 * float(plan.brief.sewing.seam)
        pieces = [p for p in scene.pieces if p.role != "binding"]
        area = sum(_area(piece.points) for piece in pieces)
        assert area == pytest.approx((scene.width - shows) * (scene.height - shows))


def _area(points: tuple[tuple[float, float], ...]) -> float:
    turned = points[1:] + points[:1]
    return abs(sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(points, turned, strict=True))) / 2
