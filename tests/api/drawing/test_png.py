"""The drawing as PNG: its size, its colours, and cloth at its true scale."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image
from scipy.ndimage import map_coordinates
from skimage.color import lab2rgb

from api.drawing.png import png
from api.drawing.quilt import quilt_scene
from api.pattern.plan import Plan
from placement.inches import Inches
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from api.drawing.scene import Scene

Make = Callable[..., Plan]
Pictures = Mapping[str, bytes]

STRAIGHT = Setting("straight", 4, 3, Inches.parse(8))
ON_POINT = Setting("on point", 3, 3, Inches.parse(8))


def pixels(data: bytes) -> NDArray[np.uint8]:
    image = Image.open(BytesIO(data))
    assert image.format == "PNG"
    assert image.mode == "RGB"
    return np.asarray(image)


def middles(scene: Scene, scale: float) -> dict[str, tuple[int, int]]:
    """Return a pixel (row, column) in the middle of one piece of each fabric."""
    found = {}
    for piece in scene.pieces:
        x, y = np.mean(piece.points, axis=0) * scale
        found[piece.fabric] = int(y), int(x)
    return found


@pytest.mark.parametrize("width", [16, 333, 800])
def test_it_is_as_wide_as_asked_and_keeps_the_quilt_s_proportion(
    make_plan: Make, pictures: Pictures, width: int
) -> None:
    scene = quilt_scene(make_plan(STRAIGHT, border=2))
    shape = pixels(png(scene, pictures, "flat", width)).shape
    assert shape == (round(width * 28 / 36), width, 3)


@pytest.mark.parametrize("setting", [STRAIGHT, ON_POINT])
def test_flat_pieces_have_the_colour_their_fabric_reads_as(
    make_plan: Make, pictures: Pictures, setting: Setting
) -> None:
    scene = quilt_scene(make_plan(setting))
    drawn = pixels(png(scene, pictures, "flat", 600))
    spots = middles(scene, 600 / scene.width)
    for cloth in scene.cloths:
        # Lab to sRGB by another library, which cuts to the gamut as a screen does.
        expected = np.clip(lab2rgb(cloth.colour.array().astype(float)), 0, 1) * 255
        assert np.abs(drawn[spots[cloth.id]] - expected).max() <= 1.5


def test_the_grey_view_is_neutral_everywhere(make_plan: Make, pictures: Pictures) -> None:
    drawn = pixels(png(quilt_scene(make_plan(ON_POINT, border=2)), pictures, "grey", 500))
    assert np.ptp(drawn, axis=2).max() == 0


def test_pieces_that_meet_leave_no_gap(make_plan: Make, pictures: Pictures) -> None:
    plan = make_plan(ON_POINT)
    paper_white = plan.brief.backgrounds[0].fabric.reads_as
    swatches = tuple(
        replace(entry, fabric=replace(entry.fabric, reads_as=paper_white))
        for entry in plan.brief.swatches
    )
    scene = quilt_scene(replace(plan, brief=replace(plan.brief, swatches=swatches)))
    drawn = pixels(png(scene, pictures, "flat", 400)).astype(float)
    paper = drawn[middles(scene, 400 / scene.width)["ground"]]
    # Only the seam's own shade darkens it: 14 %, however many pieces share a pixel.
    assert (drawn / paper).min() > 0.85


def lines_along(row: NDArray[np.float64], scale: float) -> NDArray[np.float64]:
    """Return the middles of the dark lines a scan crosses, in inches."""
    dark = np.flatnonzero(row < 150)
    groups = np.split(dark, np.flatnonzero(np.diff(dark) > 2) + 1)
    return np.array([group.mean() for group in groups]) / scale


@pytest.mark.parametrize("setting", [STRAIGHT, ON_POINT])
def test_lines_an_inch_apart_on_the_cloth_are_an_inch_apart_in_the_quilt(
    make_plan: Make, pictures: Pictures, inch_grid: bytes, setting: Setting
) -> None:
    plan = make_plan(setting, block="plain-square", directional=True)
    plan = replace(plan, layout=replace(plan.layout, turned=()))
    scene = quilt_scene(plan)
    width = 1200
    scale = width / scene.width
    grids = dict.fromkeys(pictures, inch_grid)
    drawn = pixels(png(scene, grids, "cloth", width)).astype(float).mean(axis=2)
    for piece in [piece for piece in scene.pieces if piece.role == "patch"][:5]:
        # Scan along the cloth's own direction, 7 of the 8 in of the block; two scans, in case
        # one runs within a line.
        middle = np.mean(piece.points, axis=0)
        way = np.array([np.cos(np.radians(piece.grain)), np.sin(np.radians(piece.grain))])
        side = np.array([-way[1], way[0]])
        along = np.arange(0, 7 * scale) / scale - 3.5
        scans = []
        for shift in (0.0, 0.4):
            x, y = ((middle + shift * side)[:, None] + way[:, None] * along) * scale - 0.5
            scans.append(map_coordinates(drawn, [y, x], order=1))
        scan = max(scans, key=lambda row: row.mean())
        lines = lines_along(scan, scale)
        assert len(lines) in (6, 7, 8)
        assert np.diff(lines) == pytest.approx(1, abs=1.5 / scale)


def test_patches_of_one_fabric_show_different_places_of_it(
    make_plan: Make, pictures: Pictures, inch_grid: bytes
) -> None:
    plan = make_plan(STRAIGHT, block="plain-square", directional=True)
    plan = replace(plan, layout=replace(plan.layout, fabrics=("fabric-0",) * 12, turned=()))
    grids = dict.fromkeys(pictures, inch_grid)
    drawn = pixels(png(quilt_scene(plan), grids, "cloth", 640)).astype(int)
    first, second = drawn[10:150, 10:150], drawn[10:150, 170:310]
    assert np.abs(first - second).mean() > 5


def test_a_fabric_without_its_picture_is_drawn_flat(make_plan: Make) -> None:
    scene = quilt_scene(make_plan(STRAIGHT))
    spots = middles(scene, 320 / scene.width).values()
    cloth, flat = (pixels(png(scene, {}, view, 320)) for view in ("cloth", "flat"))
    for spot in spots:
        assert np.abs(cloth[spot].astype(int) - flat[spot]).max() < 12


def test_the_same_scene_gives_the_same_bytes(make_plan: Make, pictures: Pictures) -> None:
    first, second = (
        png(quilt_scene(make_plan(ON_POINT)), pictures, "cloth", 300) for _ in range(2)
    )
    assert first == second


@pytest.mark.parametrize("width", [0, 15, 10_001])
def test_an_impossible_width_is_refused(make_plan: Make, width: int) -> None:
    with pytest.raises(ValueError, match=f"16 to 10000 pixels wide, not {width}"):
        png(quilt_scene(make_plan(STRAIGHT)), {}, "flat", width)


def test_an_unknown_view_is_refused(make_plan: Make) -> None:
    with pytest.raises(ValueError, match="there is no view 'night'"):
        png(quilt_scene(make_plan(STRAIGHT)), {}, "night")
