"""How far the search for the furthest set goes, on public instances of max-min diversity.

Run as `python tests/bench/bench_dispersion.py FOLDER [--count N]` with a folder of instances as
the library MDPLIB 2.0 has them (Marti, Duarte, Martinez-Gavara, Sanchez-Oro 2021): how many places
there are and how many are to be chosen, then for each pair its two places and their distance.
They come without a licence and are no part of this project; those with distance constraints
(Ploskas, Stergiou, Tsouros 2023) go on with lines that are passed over. Without a folder,
instances are drawn as those of the family GKD are: random points of the plane. Times are
processor time of one thread.
"""

from __future__ import annotations

import os

os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")

import argparse
import sys
import time
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from rich.console import Console
from rich.table import Table

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from palette.picking.dispersion import furthest_apart

if TYPE_CHECKING:
    from collections.abc import Iterator

Floats = NDArray[np.float64]

DRAWN = ((50, 10), (100, 10), (100, 20), (150, 15), (200, 20), (250, 25), (500, 50))
"""Places and how many are chosen, of instances that are drawn."""


def read(path: Path) -> tuple[Floats, int]:
    """Return the distances of an instance and how many are to be chosen."""
    size, count, *rest = path.read_text().split()
    pairs = int(size) * (int(size) - 1) // 2
    first, second, apart = np.array(rest[: 3 * pairs], dtype=float).reshape(-1, 3).T
    distances = np.zeros((int(size), int(size)))
    distances[first.astype(int), second.astype(int)] = apart
    return distances + distances.T, int(count)


def drawn() -> Iterator[tuple[str, Floats, int]]:
    for size, count in DRAWN:
        points = np.random.default_rng(size + count).uniform(0, 100, (size, 2))
        apart = np.linalg.norm(points[:, None] - points, axis=2)
        yield f"drawn, {size} places", apart, count


def found_in(folder: Path) -> Iterator[tuple[str, Floats, int]]:
    for path in sorted(folder.rglob("*.txt")):
        yield path.stem, *read(path)


def main() -> None:
    wish = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    wish.add_argument("folder", nargs="?", type=Path)
    wish.add_argument("--count", type=int, help="how many to choose instead")
    told = wish.parse_args()
    table = Table(title="max-min diversity")
    for heading in ("instance", "of", "chosen", "closest", "at most", "proved", "ms"):
        table.add_column(heading, justify="right")
    for name, distances, asked in found_in(told.folder) if told.folder else drawn():
        count = told.count or asked
        started = time.process_time()
        spread = furthest_apart(distances, count)
        spent = 1000 * (time.process_time() - started)
        bound = f"{spread.bound:.2f}" if np.isfinite(spread.bound) else ""
        table.add_row(name, str(len(distances)), str(count), f"{spread.apart:.2f}", bound,
                      "yes" if spread.proved else "no", f"{spent:.0f}")  # fmt: skip
    Console(width=110).print(table)


if __name__ == "__main__":
    main()
