"""How alike real cloths come out, as pages of pairs to look at, and what picks of them say.

Run as `python tests/bench/bench_likeness.py FOLDER [FOLDER ...] [--pairs PNG] [--bundles N]`
with folders of photos of cloth. The page shows the likest pairs first, with the three parts
of their difference; the figures are of random bundles of 42 on a random background: reasons
that the judge calls untrue, the share of prints, verdicts of sinking, and processor time.
"""

from __future__ import annotations

import os

os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")

import argparse
import io
import re
import sys
import time
from collections import Counter
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw
from rich.console import Console
from rich.table import Table

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from typing import TYPE_CHECKING

from palette.checks.picks import Asked, judge_pick
from palette.photo.read import read
from palette.picking.balance import is_print
from palette.picking.choice import Limits, PickBy, Verdict
from palette.picking.contrast import judge
from palette.picking.pick import Aim, pick
from palette.picking.similarity import likeness

if TYPE_CHECKING:
    from palette.fabric import Fabric

TILE, ACROSS = 84, 8
BUNDLE, COUNT = 42, 18
NEAR_TWINS = Limits().twin


def cloths(folders: list[Path]) -> tuple[list[Fabric], list[bytes]]:
    fabrics, pictures, spent = [], [], 0.0
    for path in sorted(p for folder in folders for p in folder.iterdir()):
        if path.suffix.lower() not in (".jpg", ".jpeg", ".png", ".webp"):
            continue
        name = re.sub("[^a-z0-9]+", "-", path.stem.lower()).strip("-")
        started = time.process_time()
        reading = read(path.read_bytes(), id=name, name=path.stem)
        spent += time.process_time() - started
        fabrics.append(reading.fabric)
        pictures.append(reading.picture)
    print(f"{len(fabrics)} cloths, read in {1000 * spent / len(fabrics):.0f} ms each")
    kinds = Counter(fabric.print.kind.value for fabric in fabrics if fabric.print)
    print("prints:", ", ".join(f"{count} {kind}" for kind, count in kinds.most_common()))
    return fabrics, pictures


def page_of_pairs(fabrics: list[Fabric], pictures: list[bytes], most: int) -> Image.Image:
    like = likeness(tuple(fabrics))
    first, second = np.triu_indices(len(fabrics), 1)
    order = np.argsort(like.whole[first, second], kind="stable")[:most]
    page = Image.new("RGB", (ACROSS * (2 * TILE + 12), -(-most // ACROSS) * (TILE + 34)), "white")
    draw = ImageDraw.Draw(page)
    small = [Image.open(io.BytesIO(p)).resize((TILE, TILE)) for p in pictures]
    for at, pair in enumerate(order):
        a, b = first[pair], second[pair]
        x, y = at % ACROSS * (2 * TILE + 12), at // ACROSS * (TILE + 34)
        page.paste(small[a], (x, y))
        page.paste(small[b], (x + TILE, y))
        parts = like.afar[a, b], like.close[a, b], like.prints[a, b]
        mark = "twins " if like.whole[a, b] < NEAR_TWINS else ""
        draw.text((x, y + TILE), f"{at + 1}: {mark}{like.whole[a, b]:.1f}", fill="black")
        draw.text((x, y + TILE + 12), "afar {:.1f} close {:.1f} print {:.1f}".format(*parts),
                  fill="black")  # fmt: skip
    return page


def bundles(fabrics: list[Fabric], many: int) -> Table:
    table = Table(title=f"{many} bundles of {BUNDLE}, {COUNT} picked, for each aim")
    for heading in ("aim", "reasons", "untrue", "prints: share kept", "least", "sinks",
                    "under a quarter", "proved", "mean ms", "worst ms"):  # fmt: skip
        table.add_column(heading, justify="right")
    for by in PickBy:
        tally: Counter[str] = Counter()
        shares, spent = [], []
        for seed in range(many):
            order = np.random.default_rng(seed).permutation(len(fabrics))
            bundle, ground = [fabrics[at] for at in order[:BUNDLE]], fabrics[order[BUNDLE]]
            contrasts = judge(bundle, [ground])
            aim = Aim(by, bundle[0] if by is PickBy.MOOD else None)
            likeness.cache_clear()
            started = time.process_time()
            choice = pick(bundle, COUNT, contrasts, aim=aim)
            spent.append(1000 * (time.process_time() - started))
            tally["untrue"] += len(judge_pick(Asked(bundle, ground, mood=aim.mood), choice))
            tally["reasons"] += len(choice.left_out)
            tally["proved"] += choice.proved
            lost = [entry for entry in contrasts if entry.verdict == Verdict.LOST]
            tally["lost"] += len(lost)
            tally["little"] += sum(entry.near_share < 0.25 for entry in lost)
            named = {fabric.id: fabric for fabric in bundle}
            kept = np.mean([is_print(named[name]) for name in choice.kept])
            shares.append(kept / np.mean([is_print(fabric) for fabric in bundle]))
        table.add_row(
            str(by), str(tally["reasons"]), str(tally["untrue"]), f"{np.mean(shares):.0%}",
            f"{min(shares):.0%}", str(tally["lost"]), str(tally["little"]), str(tally["proved"]),
            f"{np.mean(spent):.0f}", f"{max(spent):.0f}",
        )  # fmt: skip
    return table


def sizes(fabrics: list[Fabric]) -> Table:
    table = Table(title="pick 18, likeness and proof, best of 5")
    for heading in ("of", "likeness ms", "search ms", "both ms", "proved"):
        table.add_column(heading, justify="right")
    for size in (42, 60, 100):
        rows = []
        for seed in range(5):
            bundle = [
                fabrics[a] for a in np.random.default_rng(seed).permutation(len(fabrics))[:size]
            ]
            likeness.cache_clear()
            started = time.process_time()
            likeness(tuple(bundle))
            between = time.process_time()
            choice = pick(bundle, COUNT)
            rows.append((between - started, time.process_time() - between, choice.proved))
        best = min(rows, key=lambda row: row[0] + row[1])
        told = (1000 * best[0], 1000 * best[1], 1000 * (best[0] + best[1]))
        proved = sum(row[2] for row in rows)
        table.add_row(str(size), *(f"{each:.0f}" for each in told), f"{proved} of 5")
    return table


def main() -> None:
    wish = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    wish.add_argument("folders", nargs="+", type=Path, metavar="FOLDER")
    wish.add_argument("--pairs", type=Path, metavar="PNG", help="where to draw the likest pairs")
    wish.add_argument("--most", type=int, default=96, help="pairs to draw")
    wish.add_argument("--bundles", type=int, default=40)
    told = wish.parse_args()
    fabrics, pictures = cloths(told.folders)
    if told.pairs:
        page_of_pairs(fabrics, pictures, told.most).save(told.pairs)
    console = Console(width=130)
    console.print(sizes(fabrics))
    console.print(bundles(fabrics, told.bundles))


if __name__ == "__main__":
    main()
