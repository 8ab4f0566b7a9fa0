"""How a print lies on the cloth, held against prints drawn by rule."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image
from scipy import ndimage

from palette.colour import difference
from palette.fabric import DIRECTIONS, DISTANCES, SQUARES, Fabric, Print, PrintKind
from palette.photo.read import read

if TYPE_CHECKING:
    from collections.abc import Callable

SIDE = 384
NAVY, CREAM, RED = (30, 40, 90), (240, 230, 205), (170, 40, 40)
ROWS, COLUMNS = np.mgrid[:SIDE, :SIDE]


def photo(cream: np.ndarray, red: np.ndarray | None = None) -> Fabric:
    pixels = np.where(cream[..., None], CREAM, NAVY).astype(np.uint8)
    if red is not None:
        pixels[red] = RED
    out = io.BytesIO()
    Image.fromarray(pixels).save(out, "PNG")
    return read(out.getvalue(), id="x", name="X", whole=True).fabric


def stripes(width: int) -> np.ndarray:
    return COLUMNS // width % 2 == 0


def dots(radius: int, apart: int) -> np.ndarray:
    offset = (ROWS // apart % 2) * apart // 2
    down, across = ROWS % apart - apart / 2, (COLUMNS + offset) % apart - apart / 2
    return np.hypot(down, across) < radius


def told(fabric: Fabric) -> Print:
    assert fabric.print is not None
    return fabric.print


def test_the_change_across_a_stripe_is_what_geometry_says() -> None:
    # Of two points d apart across stripes of width w, d / w lie in different ones (d <= w).
    fabric = photo(stripes(48))
    navy, cream = (part.colour.array() for part in fabric.colours)
    whole = float(difference(navy, cream))
    for distance, row in zip(DISTANCES[:3], told(fabric).change[:3], strict=True):
        share = np.mean([times * distance * SIDE / 48 for times in (1, 1.4)])
        assert row[DIRECTIONS.index(0)] == pytest.approx(whole * share, rel=0.12)
        assert row[DIRECTIONS.index(90)] == 0


@pytest.mark.parametrize(
    ("fabric", "kind"),
    [
        (lambda: photo(np.ones((SIDE, SIDE), bool)), PrintKind.SOLID),
        (lambda: photo(stripes(24)), PrintKind.STRIPE),
        (lambda: photo(stripes(24).T), PrintKind.STRIPE),
        (lambda: photo((ROWS + COLUMNS) // 32 % 2 == 0), PrintKind.STRIPE),
        (lambda: photo(stripes(32) & stripes(32).T, stripes(32) ^ stripes(32).T), PrintKind.CHECK),
        (lambda: photo(stripes(24), ROWS % 96 < 8), PrintKind.CHECK),
        (lambda: photo(dots(16, 64)), PrintKind.DOT),
        (lambda: photo(dots(6, 40)), PrintKind.DOT),
    ],
)
def test_the_kind_of_a_print_is_told(fabric: Callable[[], Fabric], kind: PrintKind) -> None:
    assert told(fabric()).kind == kind


def test_a_print_without_order_is_all_over() -> None:
    rng = np.random.default_rng(5)
    smooth = ndimage.gaussian_filter(rng.normal(size=(SIDE, SIDE)), 14, mode="wrap")
    assert told(photo(smooth > 0)).kind == PrintKind.ALL_OVER


def test_a_large_print_changes_later_than_a_small_one() -> None:
    small, large = told(photo(dots(6, 32))), told(photo(dots(24, 128)))
    assert small.change[0][0] > 2 * large.change[0][0]
    assert max(small.change[-1]) < 2 * max(large.change[-1])


def test_a_solid_changes_nowhere() -> None:
    solid = told(photo(np.zeros((SIDE, SIDE), bool)))
    assert {value for row in solid.change for value in row} == {0.0}


def test_a_print_measured_otherwise_is_refused() -> None:
    with pytest.raises(ValueError, match="5 distances in 4 directions"):
        Print(PrintKind.STRIPE, ((1.0, 2.0),))


def squares(fabric: Fabric, size: int) -> np.ndarray:
    shown = told(fabric).squares
    assert shown is not None
    return np.array([[int(part) for part in each.split("-")] for each in shown[size].split(":")])


@pytest.mark.parametrize("width", [48, 96])
def test_squares_cut_from_a_stripe_show_what_geometry_says(width: int) -> None:
    # Of squares narrower than the stripe, all but side / width lie in one stripe alone.
    fabric = photo(stripes(width))
    for at, side in enumerate(SQUARES[:2]):
        shown = squares(fabric, at)
        alone = np.mean(shown.max(axis=1) == 100)
        assert alone == pytest.approx(1 - side * SIDE / width, abs=0.08)
        assert shown.mean(axis=0) == pytest.approx([50, 50], abs=6)
        assert set(shown.sum(axis=1)) == {100}


def test_squares_larger_than_the_print_are_not_told_of() -> None:
    assert len(told(photo(dots(4, 16))).squares or ()) == 1
    assert told(photo(np.zeros((SIDE, SIDE), bool))).squares == ()


@pytest.mark.parametrize("wrong", [("40/60",), ("",), ("50-50", "x"), 5 * ("50-50",)])
def test_squares_that_are_no_shares_are_refused(wrong: tuple[str, ...]) -> None:
    good = told(photo(stripes(48)))
    with pytest.raises(ValueError, match="up to 4 sides"):
        Print(good.kind, good.change, wrong)


def test_squares_of_more_colours_than_the_fabric_has_are_refused() -> None:
    fabric = photo(stripes(48))
    other = replace(told(fabric), squares=("40-30-30",))
    with pytest.raises(ValueError, match="tell of 3 colours; it has 2"):
        replace(fabric, print=other)
