"""What the eye sees in layouts of real cloth, beside the row-to-row sequence and chance.

Run as `python tests/bench/bench_eye.py FOLDER [FOLDER ...] [--pages PNG]` with folders of
photos of cloth. Twelve bundles of 18 are drawn from them, on point and straight by turns;
each is arranged, laid as one sequence from row to row, and laid at random. It prints the
part of random layouts that are worse, measure by measure (0.5 is chance), and draws the
three side by side, to be looked at.
"""

from __future__ import annotations

import os

os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")

import argparse
import io
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw
from rich.console import Console
from rich.table import Table

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parent))

from bench_likeness import cloths

from palette.picking.loudness import loudness
from palette.picking.similarity import differences
from placement.checks.eye import Shown, Sight, worse_by_chance
from placement.inches import Inches
from placement.top.arrange.arrange import arrange
from placement.top.request import Request, Style
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from palette.fabric import Fabric

LAYOUTS, PICKED, A_PAGE = 12, 18, 4
BLOCK = 40
SIDE = Inches.parse("6")
SETTINGS = (Setting("on point", 6, 7, SIDE), Setting("straight", 8, 9, SIDE))
WAYS = ("ours", "row to row", "random")


def layouts(request: Request, rng: np.random.Generator) -> dict[str, tuple[int, ...]]:
    ours = arrange(request).layout
    rows = arrange(replace(request, style=Style.REPEATING)).layout
    return dict(zip(WAYS, (ours, rows, tuple(rng.permutation(ours).tolist())), strict=True))


def strikes(request: Request, layout: tuple[int, ...]) -> dict[Sight, float]:
    names = [str(number) for number in range(len(request.colours))]
    shown = Shown(
        request.setting,
        [str(fabric) for fabric in layout],
        "-1",
        dict(zip(names, request.colours, strict=True)),
        {(a, b): request.difference[int(a), int(b)] for a in names for b in names},
    )
    return worse_by_chance(shown)


def drawn(request: Request, layout: tuple[int, ...], tiles: list[Image.Image]) -> Image.Image:
    on_point = request.setting.kind == "on point"
    step = BLOCK * np.sqrt(0.5) if on_point else BLOCK
    size = 8.6 * BLOCK * 1.2, 9.2 * BLOCK * 1.2
    picture = Image.new("RGB", (int(size[0]), int(size[1])), "#e9e4da")
    cells = request.setting.cells()
    for cell, fabric in zip(cells, layout, strict=True):
        tile = tiles[fabric]
        mask = Image.new("L", tile.size, 255)
        if on_point:
            tile, mask = (
                one.rotate(45, expand=True, resample=Image.Resampling.BICUBIC)
                for one in (tile, mask)
            )
        x, y = (BLOCK * 0.9 + step * along for along in (cell.column, cell.row))
        picture.paste(tile, (int(x - tile.width / 2), int(y - tile.height / 2)), mask)
    return picture


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--pages", type=Path, help="where to draw; pages are numbered")
    options = parser.parse_args()
    fabrics, pictures = cloths(options.folders)
    rng = np.random.default_rng(0)
    found: dict[str, list[dict[Sight, float]]] = {way: [] for way in WAYS}
    rows = []
    for number in range(LAYOUTS):
        chosen = rng.choice(len(fabrics), PICKED, replace=False)
        bundle: list[Fabric] = [fabrics[at] for at in chosen]
        request = Request(
            SETTINGS[number % 2],
            np.array([fabric.reads_as.array() for fabric in bundle]),
            differences(bundle),
            loudness=tuple(map(loudness, bundle)),
        )
        tiles = [Image.open(io.BytesIO(pictures[at])).resize((BLOCK, BLOCK)) for at in chosen]
        laid = layouts(request, rng)
        for way, layout in laid.items():
            found[way].append(strikes(request, layout))
        rows.append([drawn(request, layout, tiles) for layout in laid.values()])
    table = Table(title=f"part of random layouts that are worse, {LAYOUTS} bundles of {PICKED}")
    for heading in ("", *Sight):
        table.add_column(heading, justify="right")
    for way, seen in found.items():
        for name, over in (("mean", np.mean), ("worst", np.min)):
            figures = [f"{over([one[sight] for one in seen]):.2f}" for sight in Sight]
            table.add_row(f"{way}, {name}", *figures)
    Console(width=120).print(table)
    for start in range(0, LAYOUTS, A_PAGE) if options.pages else ():
        page(rows[start : start + A_PAGE]).save(
            options.pages.with_stem(f"{options.pages.stem}-{start // A_PAGE + 1}")
        )


def page(rows: list[list[Image.Image]]) -> Image.Image:
    wide, high = rows[0][0].size
    sheet = Image.new("RGB", (3 * (wide + 12), len(rows) * (high + 12) + 16), "white")
    for at, way in enumerate(WAYS):
        ImageDraw.Draw(sheet).text((at * (wide + 12) + 4, 2), way, fill="black")
        for down, row in enumerate(rows):
            sheet.paste(row[at], (at * (wide + 12), 16 + down * (high + 12)))
    return sheet


if __name__ == "__main__":
    main()
