"""SVG and PNG show the same quilt: a browser draws the one, and the two are laid side by side."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from api.drawing.png import png
from api.drawing.quilt import quilt_scene
from api.drawing.svg import svg
from api.pattern.plan import Plan
from placement.inches import Inches
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from api.drawing.scene import Scene

Make = Callable[..., Plan]
Pictures = Mapping[str, bytes]
Draw = Callable[[str, int], NDArray[np.int64]]

CHROMIUM = Path("/usr/bin/chromium")
FLAGS = (
    "--no-sandbox",
    "--disable-quic",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--force-color-profile=srgb",
)

ON_POINT = Setting("on point", 3, 3, Inches.parse(8))
STRAIGHT = Setting("straight", 3, 3, Inches.parse(6))
SIDE = 600
"""Pixels; both quilts are square, so no rounding stands between the two pictures."""


@pytest.fixture(scope="module")
def browser_draws() -> Iterator[Draw]:
    """Return a function that lets a browser draw an SVG at a width and gives its pixels."""
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    if not CHROMIUM.exists():
        pytest.skip("no Chromium on this machine")
    with playwright.sync_playwright() as tool:
        browser = tool.chromium.launch(executable_path=str(CHROMIUM), args=list(FLAGS))
        page: Any = browser.new_page(viewport={"width": SIDE, "height": SIDE})

        def draw(text: str, side: int) -> NDArray[np.int64]:
            fit = f"<style>*{{margin:0}}svg{{display:block;width:{side}px;height:{side}px}}</style>"
            page.set_content(fit + text)
            shot = Image.open(BytesIO(page.screenshot())).convert("RGB")
            return np.asarray(shot, np.int64)

        yield draw
        browser.close()


def drawn(scene: Scene, pictures: Pictures, view: str) -> NDArray[np.int64]:
    return np.asarray(Image.open(BytesIO(png(scene, pictures, view, SIDE))), np.int64)


def turned_the_other_way(scene: Scene) -> Scene:
    """Plant the classic fault: angles that count anticlockwise."""
    pieces = tuple(replace(piece, grain=-piece.grain % 360) for piece in scene.pieces)
    return replace(scene, pieces=pieces)


@pytest.mark.parametrize("view", ["flat", "grey"])
@pytest.mark.parametrize("setting", [ON_POINT, STRAIGHT])
def test_flat_drawings_agree(
    make_plan: Make, pictures: Pictures, browser_draws: Draw, setting: Setting, view: str
) -> None:
    scene = quilt_scene(make_plan(setting, border=2))
    other = browser_draws(svg(scene, pictures, view), SIDE)
    assert np.abs(drawn(scene, pictures, view) - other).mean() <= 1.0


@pytest.mark.parametrize("setting", [ON_POINT, STRAIGHT])
def test_drawings_of_cloth_agree_and_would_not_if_one_turned_the_other_way(
    make_plan: Make, pictures: Pictures, browser_draws: Draw, setting: Setting
) -> None:
    scene = quilt_scene(make_plan(setting, border=2))
    other = browser_draws(svg(scene, pictures, "cloth"), SIDE)
    right = np.abs(drawn(scene, pictures, "cloth") - other).mean()
    wrong = np.abs(drawn(turned_the_other_way(scene), pictures, "cloth") - other).mean()
    # The two shrink a picture by different filters; turned wrongly, it is another picture.
    assert right <= 4
    assert wrong > 5 * right
