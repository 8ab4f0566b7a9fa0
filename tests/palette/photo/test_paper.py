"""White paper told from cloth, on made-up photos whose truth is known."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageDraw
from scipy.ndimage import gaussian_filter

from palette.photo.box import Box
from palette.photo.paper import box_of, sheet_at, sheets_of_paper
from tests.bench import prints

WIDTH, HEIGHT = 160, 120


def print_of(kind: str, seed: int = 3) -> np.ndarray:
    return 0.6 * prints.draw(kind, np.random.default_rng(seed), WIDTH, HEIGHT, 12).light


def with_paper(cloth: np.ndarray, *corners: tuple[float, float], level: float = 0.8) -> np.ndarray:
    """Lay a sheet of these corners, in pixels, on a cloth; edges are blurred as a lens does."""
    mask = Image.new("L", (WIDTH, HEIGHT))
    ImageDraw.Draw(mask).polygon(corners, fill=1)
    light = np.where(np.asarray(mask)[..., None] > 0, level, cloth)
    return gaussian_filter(light, (0.5, 0.5, 0))


def shape(*corners: tuple[float, float]) -> np.ndarray:
    return with_paper(np.zeros((HEIGHT, WIDTH, 3)), *corners, level=1.0)[..., 0] > 0.5


MIDDLE = ((50, 40), (110, 40), (110, 80), (50, 80))
SHEETS = {
    "beside the cloth": ((8, 10), (50, 10), (50, 40), (8, 40)),
    "turned and at a slant": ((12, 12), (52, 18), (46, 44), (8, 36)),
    "beyond a corner": ((0, 0), (50, 0), (44, 30), (0, 36)),
    "from edge to edge": ((0, 0), (159, 0), (159, 28), (0, 22)),
}


@pytest.mark.parametrize("kind", ["floral", "solid", "dots"])
@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS.keys())
def test_paper_is_found_wherever_it_lies(kind: str, sheet: tuple[tuple[float, float], ...]) -> None:
    found = sheets_of_paper(with_paper(print_of(kind), *sheet))
    assert len(found) == 1
    true = shape(*sheet)
    assert (found[0].mask & true).sum() > 0.7 * (found[0].mask | true).sum()


def test_light_may_fall_across_a_sheet() -> None:
    light = with_paper(print_of("floral"), *SHEETS["beside the cloth"])
    falling = np.linspace(1, 0.5, WIDTH)[None, :, None]
    assert len(sheets_of_paper(light * falling)) == 1


def test_every_sheet_is_found() -> None:
    light = with_paper(print_of("solid"), (5, 5), (35, 5), (35, 30), (5, 30))
    light = with_paper(light, (5, 90), (30, 90), (30, 115), (5, 115), level=0.7)
    assert len(sheets_of_paper(light)) == 2


@pytest.mark.parametrize(
    ("name", "light"),
    [
        ("a check", print_of("check")),
        ("white in the middle", with_paper(print_of("solid"), *MIDDLE)),
        ("grey", with_paper(print_of("solid"), *SHEETS["beside the cloth"], level=0.08)),
        ("plain white", np.full((HEIGHT, WIDTH, 3), 0.8)),
    ],
)
def test_what_may_be_cloth_is_not_taken_for_paper(name: str, light: np.ndarray) -> None:
    assert sheets_of_paper(light) == (), name


@pytest.mark.parametrize("kind", prints.KINDS)
def test_prints_hold_no_paper(kind: str) -> None:
    for seed in range(5):
        drawn = prints.draw(kind, np.random.default_rng(seed), WIDTH, HEIGHT, 12)
        assert sheets_of_paper(0.8 * drawn.light) == ()


def test_a_touch_finds_the_whole_sheet() -> None:
    sheet = ((100, 10), (150, 10), (150, 50), (100, 50))
    light = with_paper(print_of("dots"), *sheet)
    whole = box_of(sheet_at(light, Box.around(0.75, 0.25)))
    np.testing.assert_allclose(
        (whole.left, whole.top, whole.right, whole.bottom),
        (100 / WIDTH, 10 / HEIGHT, 150 / WIDTH, 50 / HEIGHT),
        atol=0.02,
    )
