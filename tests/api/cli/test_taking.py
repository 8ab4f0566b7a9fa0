"""Photos on the command line: one way in for all, and what is told of single ones."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image
from skimage.color import deltaE_ciede2000, rgb2lab

from api.cli.main import main
from api.cli.taking import corners_of, lie_of

if TYPE_CHECKING:
    from pathlib import Path

BRICK, SLATE, TABLE = (164, 72, 52), (74, 90, 108), (222, 214, 200)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Return a folder with a photo of four fabrics on a table, one of two halves and a grid."""
    noise = np.random.default_rng(4).normal(0, 3, (480, 640, 1))
    table = np.zeros((480, 640, 3)) + TABLE
    for number, colour in enumerate((BRICK, SLATE, (96, 112, 58), (92, 40, 74))):
        x, y = 80 + 280 * (number % 2), 60 + 210 * (number // 2)
        table[y : y + 150, x : x + 200] = colour
    halves = np.zeros((480, 640, 3)) + BRICK
    halves[:, 320:] = SLATE
    grid = np.zeros((480, 640, 3)) + TABLE
    grid[100:380, 100:320], grid[100:380, 320:540] = BRICK, SLATE
    for name, pixels in (("table", table), ("halves", halves), ("grid", grid)):
        image = np.clip(pixels + noise, 0, 255).astype(np.uint8)
        Image.fromarray(image).save(tmp_path / f"{name}.png")
    return tmp_path


def made(folder: Path, *options: str) -> list[dict[str, object]]:
    """Make a small plan; return its fabrics."""
    out = str(folder / "out")
    main(["plan", *options, "--across", "2", "--down", "2", "--out", out])
    plan = json.loads((folder / "out" / "plan.json").read_text())
    return [swatch["fabric"] for swatch in plan["brief"]["swatches"]]


def off(fabric: dict[str, object], colour: tuple[int, ...]) -> float:
    lab = fabric["reads_as"]
    assert isinstance(lab, dict)
    true = rgb2lab(np.array(colour) / 255)
    return float(deltaE_ciede2000([lab["lightness"], lab["a"], lab["b"]], true))


@pytest.mark.slow
def test_photos_of_one_and_of_several_fabrics_are_named_alike(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    table, halves = str(folder / "table.png"), str(folder / "halves.png")
    fabrics = made(folder, table, halves, "--corners", "halves=0,0,0.45,0,0.45,1,0,1")
    assert len(fabrics) == 5
    assert off(fabrics[0], BRICK) < 1
    assert off(fabrics[4], BRICK) < 1
    assert "table.png: 4 fabrics found in it" in capsys.readouterr().err


@pytest.mark.slow
def test_a_lie_that_is_told_and_a_colour_go_before_what_is_found(folder: Path) -> None:
    table, grid = str(folder / "table.png"), str(folder / "grid.png")
    told = ["--lie", "table.png=one", "--lie", f"{grid}=grid:1x2", "--colour", "table=#7a3b4e"]
    one, left, right = made(folder, table, grid, *told)
    assert off(one, (0x7A, 0x3B, 0x4E)) < 0.1
    assert max(off(left, BRICK), off(right, SLATE)) < 1.5


@pytest.mark.parametrize(
    ("option", "value", "words"),
    [
        ("--lie", "table=heap", "'heap' is no way to lie"),
        ("--lie", "table=grid:4", "grid:ROWSxCOLUMNS"),
        ("--lie", "table=stack:0", "stack:COUNT"),
        ("--lie", "moon=one", "there is no photo 'moon' among those given"),
        ("--corners", "table=0,0,1", "is not four corners"),
        ("--corners", "table=0,0,0,1,1,1,1,0", "enclose no proper piece"),
        ("--whole", "moon", "there is no photo 'moon'"),
        ("--colour", "table=reddish", "reddish"),
    ],
)
def test_what_can_not_be_is_refused_with_a_sentence(
    folder: Path, capsys: pytest.CaptureFixture[str], option: str, value: str, words: str
) -> None:
    options = [str(folder / "table.png"), option, value, "--out", str(folder / "out")]
    assert main(["plan", *options]) == 2
    assert words in capsys.readouterr().err


def test_ways_to_lie_and_corners_are_read() -> None:
    assert (lie_of("grid:4x5").rows, lie_of("grid:4x5").columns) == (4, 5)
    assert (lie_of("stack:12").kind, lie_of("stack:12").count) == ("stack", 12)
    assert corners_of("0,0,1,0,1,1,0,1").area == 1
