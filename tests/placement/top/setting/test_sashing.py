"""Where sashing lies: counted against closed forms, areas added up, seams in their places."""

from __future__ import annotations

from collections import Counter
from math import isclose, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from placement.inches import Inches
from placement.sizes import quarter_square
from placement.top.setting.finishing import sashing
from placement.top.setting.sashing import Point, Sash, sashes
from placement.top.setting.setting import Cell, Kind, Setting

KINDS = st.sampled_from(["on point", "straight"])
BLOCK = Inches.parse("8 1/2")


def _setting(kind: Kind, across: int, down: int, sash: str, *, stones: bool) -> Setting:
    return Setting(kind, across, down, BLOCK, False, Inches.parse(sash), stones)


def _area(points: tuple[Point, ...]) -> float:
    """Return the area, above zero for corners that go clockwise as seen (shoelace formula)."""
    pairs = zip(points, points[1:] + points[:1], strict=True)
    return sum(x * y2 - x2 * y for (x, y), (x2, y2) in pairs) / 2


@given(KINDS, st.integers(1, 7), st.integers(1, 7), st.sampled_from(["1", "1 1/2", "40 mm"]),
       st.booleans())  # fmt: skip
def test_strips_and_cornerstones_fill_what_blocks_and_triangles_leave(
    kind: Kind, across: int, down: int, sash: str, stones: bool
) -> None:
    setting = _setting(kind, across, down, sash, stones=stones)
    found = sashes(setting)
    assert all(_area(piece.points) > 0 for piece in found)
    blocks = setting.block_count + setting.side_triangles / 2 + setting.corner_triangles / 4
    covered = blocks * float(BLOCK) ** 2 + sum(_area(piece.points) for piece in found)
    assert isclose(covered, setting.width * setting.height, rel_tol=1e-9)
    for x, y in (point for piece in found for point in piece.points):
        assert -1e-9 <= x <= setting.width + 1e-9
        assert -1e-9 <= y <= setting.height + 1e-9


@given(KINDS, st.integers(1, 9), st.integers(1, 9), st.booleans())
def test_drawn_pieces_are_as_many_as_the_closed_forms_say(
    kind: Kind, across: int, down: int, stones: bool
) -> None:
    setting = _setting(kind, across, down, "1 1/2", stones=stones)
    listed = sashing(setting)
    assert listed is not None
    tally = Counter(_kind(piece) for piece in sashes(setting))
    assert tally["whole"] == listed.cornerstones
    assert tally["half"] == listed.half_cornerstones
    long = sum(count for _, count in listed.long)
    assert tally["strip"] == listed.strips + long
    assert bool(long) is not stones


def _kind(piece: Sash) -> str:
    if piece.part == "sashing":
        return "strip"
    return "half" if len(piece.points) == 3 else "whole"


@given(st.integers(1, 7), st.integers(1, 7))
def test_long_strips_on_point_reach_over_the_quilts_edge(across: int, down: int) -> None:
    # A strip cut off at 45 degrees: its reach and q(1 + sqrt 2) at each end, derived.
    setting = _setting("on point", across, down, "1 1/2", stones=False)
    listed = sashing(setting)
    assert listed is not None
    reaches = sorted(_reach(piece.points) for piece in sashes(setting) if piece.between)
    cut = sorted(length for length, count in listed.long for _ in range(count))
    for reach, length in zip(reaches, cut, strict=True):
        assert -1e-9 <= float(length) - quarter_square(reach, 0.25) < 0.125


def _reach(points: tuple[Point, ...]) -> float:
    """Return how far a shape reaches from bottom left to top right."""
    along = [(x - y) / sqrt(2) for x, y in points]
    return max(along) - min(along)


def test_blocks_move_apart_by_the_sashing() -> None:
    # On point the size is a(F + s) sqrt 2; straight a(F + s) + s. Derived.
    pointed = _setting("on point", 6, 7, "1 1/2", stones=True)
    assert pointed.width == pytest.approx(6 * 10 * sqrt(2), abs=1e-9)
    assert pointed.centre(Cell(0, 0)) == pytest.approx((10 / sqrt(2), 10 / sqrt(2)))
    straight = _setting("straight", 4, 5, "1 1/2", stones=True)
    assert (straight.width, straight.height) == (41.5, 51.5)
    assert straight.centre(Cell(0, 1)) == (1.5 + 10 + 4.25, 1.5 + 4.25)


def test_who_touches_whom_does_not_change() -> None:
    plain, sashed = (_setting("on point", 4, 5, sash, stones=True) for sash in ("0", "2"))
    assert plain.cells() == sashed.cells()
    assert plain.graph() is sashed.graph()


def test_without_sashing_there_is_none() -> None:
    assert sashes(_setting("straight", 4, 5, "0", stones=True)) == ()


def test_sashing_as_wide_as_the_block_is_refused() -> None:
    with pytest.raises(ValueError, match="sashing of 9 in is not narrower than a block of 8 1/2"):
        _setting("straight", 4, 5, "9", stones=False)
