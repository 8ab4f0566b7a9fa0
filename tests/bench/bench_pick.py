"""How long likeness, contrast and pick take, and how they compare with a greedy choice.

Run as `python tests/bench/bench_pick.py`. Bundles are invented: five families of
colours, several seeds. Times are processor time of one thread. The greedy
baseline starts from the pair furthest apart and adds the furthest fabric each time.
"""

from __future__ import annotations

import os

os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")

import sys
import time
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from rich.console import Console
from rich.table import Table

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from typing import TYPE_CHECKING

from palette.colour import Lab
from palette.fabric import Fabric, Share
from palette.picking.choice import Choice, Limits
from palette.picking.contrast import judge
from palette.picking.pick import pick
from palette.picking.similarity import closenesses, differences

if TYPE_CHECKING:
    from collections.abc import Callable

Floats = NDArray[np.float64]
Random = np.random.Generator


def uniform(random: Random, size: int) -> Floats:
    return random.uniform([20, -45, -45], [95, 45, 45], (size, 3))


def tight_mid_tones(random: Random, size: int) -> Floats:
    return np.array([58, 5, 15]) + random.normal(0, [8, 10, 10], (size, 3))


def two_families(random: Random, size: int) -> Floats:
    centres = np.array([[45, -8, -22], [66, 22, 30]])
    return centres[random.integers(0, 2, size)] + random.normal(0, [9, 7, 7], (size, 3))


def near_twins(random: Random, size: int) -> Floats:
    base = uniform(random, (size + 1) // 2)
    return np.vstack([base, base + random.normal(0, 0.8, base.shape)])[:size]


def one_wheel(random: Random, size: int) -> Floats:
    hue = random.uniform(0, 2 * np.pi, size)
    return np.stack([60 + random.normal(0, 2, size), 40 * np.cos(hue), 40 * np.sin(hue)], axis=1)


FAMILIES = (uniform, tight_mid_tones, two_families, near_twins, one_wheel)
SEEDS = range(5)
NO_TWINS = Limits(twin=0)


def solids(colours: Floats) -> list[Fabric]:
    fabrics = []
    for at, (lightness, a, b) in enumerate(colours):
        colour = Lab.rounded(np.array([np.clip(lightness, 2, 98), a, b]))
        fabrics.append(Fabric(f"f{at}", f"F{at}", colour, (Share(colour, 1.0),)))
    return fabrics


def prints(random: Random, size: int) -> list[Fabric]:
    """Fabrics of one to six colours each."""
    fabrics = []
    for at in range(size):
        many = int(random.integers(1, 7))
        lab, shares = uniform(random, many), random.dirichlet(np.full(many, 2.0))
        parts = zip(lab, shares, strict=True)
        colours = tuple(Share(Lab.rounded(one), float(share)) for one, share in parts)
        fabrics.append(Fabric(f"f{at}", f"F{at}", Lab.rounded(shares @ lab), colours))
    return fabrics


def greedy_closest(far: Floats, count: int) -> float:
    """Return the closest pair of the farthest-point choice, written apart from the product."""
    chosen = list(np.unravel_index(far.argmax(), far.shape))
    while len(chosen) < count:
        nearest = far[chosen].min(axis=0)
        nearest[chosen] = -1
        chosen.append(nearest.argmax())
    among = far[np.ix_(chosen, chosen)]
    return float(among[np.triu_indices(count, 1)].min())


def timed(work: Callable[[], Choice | object]) -> tuple[object, float]:
    started = time.process_time()
    result = work()
    return result, (time.process_time() - started) * 1000


def picks(size: int, counts: list[int]) -> Table:
    table = Table(title=f"pick K of {size}, K = {counts[0]} to {counts[-1]}, {len(SEEDS)} seeds")
    for heading in ("family", "picks", "proved", "mean ms", "p99 ms", "worst ms", "at K",
                    "greedy below: mean", "worst"):  # fmt: skip
        table.add_column(heading, justify="right")
    for family in FAMILIES:
        times, proved, below = [], 0, []
        for seed in SEEDS:
            fabrics = solids(family(np.random.default_rng(seed), size))
            far = differences(fabrics)
            for count in counts:
                choice, spent = timed(lambda: pick(fabrics, count, limits=NO_TWINS))  # noqa: B023
                assert isinstance(choice, Choice)
                assert choice.closest is not None
                times.append((spent, count))
                proved += choice.proved
                below.append(1 - greedy_closest(far, count) / choice.closest)
        spent = np.array([each for each, _ in times])
        table.add_row(
            family.__name__.replace("_", " "), str(len(times)), str(proved), f"{spent.mean():.1f}",
            f"{np.percentile(spent, 99):.1f}", f"{max(times)[0]:.1f}", str(max(times)[1]),
            f"{np.mean(below):.1%}", f"{max(below):.1%}",
        )  # fmt: skip
    return table


def rest() -> Table:
    table = Table(title="the rest, best of 5")
    table.add_column("work")
    table.add_column("ms", justify="right")
    random = np.random.default_rng(1)
    bundle, grounds = prints(random, 42), prints(random, 6)
    jobs: list[tuple[str, Callable[[], object]]] = [
        ("reads-as differences, 42 prints", lambda: differences(bundle)),
        ("earth mover's distances, 861 pairs of 42 prints", lambda: closenesses(bundle)),
        ("verdicts, 42 prints on 6 backgrounds", lambda: judge(bundle, grounds)),
        ("pick 18 of 42 prints on one of them",
         lambda: pick(bundle, 18, judge(bundle, grounds[:1]))),
        ("pick 42 of 42 with proposals to relax",
         lambda: pick(bundle, 42, judge(bundle, grounds[:1]))),
    ]  # fmt: skip
    for name, job in jobs:
        table.add_row(name, f"{min(timed(job)[1] for _ in range(5)):.1f}")
    return table


def main() -> None:
    console = Console(width=110)
    console.print(rest())
    console.print(picks(42, [18]))
    console.print(picks(42, list(range(2, 42))))
    console.print(picks(60, list(range(2, 60))))
    console.print(picks(100, list(range(5, 100, 10))))


if __name__ == "__main__":
    main()
