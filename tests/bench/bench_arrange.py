"""How good layouts are, how long they take, and how they compare with general tools.

Run as `python tests/bench/bench_arrange.py`, or with `--full` for both palettes of
each family, a longer rival at 143 cells and the distance to long runs. Palettes are made
up: uniform, tight mid-tones, two families and near-twins, on tops of 72, 143, 400 and
2,500 cells, three seeds each. Every top runs in a process of its own, so that its peak
memory is its own; times are processor time of one thread.

Rivals: networkx equitable_color (spreads colour classes evenly, knows no likeness) and
scipy quadratic_assignment with the spread term as a quadratic assignment (faq; 2opt
where it takes seconds, not minutes).
"""

from __future__ import annotations

import os

os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")

import argparse
import json
import resource
import subprocess
import sys
import time
from dataclasses import replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import networkx as nx
import numpy as np
from rich.console import Console
from rich.table import Table
from scipy.optimize import quadratic_assignment
from skimage.color import deltaE_ciede2000

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from placement.inches import Inches
from placement.top.arrange import arrange as engine
from placement.top.arrange.counted import Meetings
from placement.top.arrange.objective import Objective, alikeness, make_objective, neutral
from placement.top.arrange.pairs import make_pairs, nearness
from placement.top.arrange.quality import reachable, wanted
from placement.top.arrange.validation import Ask, ask
from placement.top.request import Quality, Reach, Request
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

ROOT = Path(__file__).resolve().parents[2]
SIZES = (72, 143, 400, 2500)
FAMILIES = ("uniform", "tight", "families", "twins")
GOALS = {72: (0.25, 250), 143: (0.5, 250), 400: (1.5, 250), 2500: (4.0, 250)}
"""Seconds and megabytes wanted at each size."""

Timed = tuple[Any, float]


def timed(work: Callable[[], Any]) -> Timed:
    start = time.process_time()
    result = work()
    return result, time.process_time() - start


@lru_cache(maxsize=1)
def instances() -> dict[str, Any]:
    data: dict[str, Any] = json.loads((ROOT / "tests/data/placement_instances.json").read_text())
    return data


def request_of(name: str) -> Request:
    entry = instances()["instances"][name]
    colours = np.array(instances()["palettes"][entry["palette"]])
    raw = deltaE_ciede2000(colours[:, None], colours[None])
    return Request(
        setting=Setting(entry["kind"], entry["across"], entry["down"], Inches.parse("6")),
        colours=colours,
        difference=(raw + raw.T) / 2 * (1 - np.eye(len(colours))),
        copies=tuple(entry["copies"]),
    )


def row(who: str, quality: Quality, seconds: float, memory: float | None = None) -> list[str]:
    return [
        who,
        f"{quality.closest:.1f}",
        f"{quality.wanted:.1f}",
        f"{quality.reach:.1f}",
        f"{quality.bound:.1f}",
        f"{quality.bound - quality.reach:.1f}",
        f"{quality.spread:.2f}",
        f"{100 * quality.evenness:.1f} %",
        f"{100 * quality.balance:.1f} %",
        f"{quality.copies_apart:.2f}",
        str(quality.repeated_contacts),
        f"{1000 * seconds:.0f}",
        "" if memory is None else f"{memory:.0f}",
    ]


def ours(request: Request, seeds: range) -> Iterator[list[str]]:
    """Return a row for each seed; memory is the peak of the process so far."""
    for seed in seeds:
        one = replace(request, seed=seed)
        result, seconds = timed(lambda one=one: engine.arrange(one))
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        yield row(f"arrange, seed {seed}", result.quality, seconds, peak)


def rivals(made: Ask, limit: Reach, full: bool) -> Iterator[list[str]]:
    request, count = made.request, made.where.count
    kinds = len(made.task.copies)

    def judged(who: str, found: Timed) -> list[str]:
        layout, seconds = found
        return row(who, engine.measure(request, tuple(int(f) for f in layout), limit), seconds)

    graph = nx.Graph()
    graph.add_nodes_from(range(count))
    graph.add_edges_from(made.task.edges.tolist())
    colouring, seconds = timed(lambda: nx.algorithms.coloring.equitable_color(graph, kinds))
    yield judged("networkx equitable_color", ([colouring[c] for c in range(count)], seconds))
    if count <= 400:
        yield judged("scipy quadratic_assignment faq", timed(lambda: assigned(made, "faq")))
    if count <= (143 if full else 72):
        yield judged("scipy quadratic_assignment 2opt", timed(lambda: assigned(made, "2opt")))


def assigned(made: Ask, method: str) -> np.ndarray:
    """Solve the spread term with scipy: cells by nearness onto copies by likeness."""
    slots = np.repeat(np.arange(len(made.task.copies)), made.task.copies)
    alike = neutral(alikeness(made.task.values[made.task.levels]), made.task.copies)
    near = make_pairs(made.where, [nearness(made.where)]).values[0]
    options = {"rng": np.random.default_rng(0)}
    found = quadratic_assignment(near, alike[np.ix_(slots, slots)], method=method, options=options)
    return slots[found.col_ind]


def score(made: Ask, objective: Objective, least: float, layout: np.ndarray) -> float:
    """Return what the search minimises: energy and the price of repeated contacts."""
    variety = engine._variety(made, least, engine._PRICES[-1])
    return objective.energy(layout) + variety.of(Meetings(objective, layout).repeats)


def range_left(request: Request, limit: Reach) -> str:
    """Return how far the default search stays behind one twelve times as long."""
    made, least = ask(request), wanted(request.apart, limit.best)
    aim = engine._aim(request.apart, limit)
    objective = make_objective(made.task, made.where, made.colours, aim)
    usual = [made.inner(arranged(request, limit, s, 1)) for s in range(3)]
    longer = [made.inner(arranged(request, limit, s, 12)) for s in (7, 8)]
    slots = np.repeat(np.arange(len(made.task.copies)), made.task.copies)
    rng = np.random.default_rng(0)
    plain = [objective.energy(rng.permutation(slots)) for _ in range(200)]
    scores = [score(made, objective, least, layout) for layout in usual]
    best = min(score(made, objective, least, layout) for layout in [*usual, *longer])
    left = [100 * (value - best) / (np.mean(plain) - best) for value in scores]
    return f"behind a long run, % of random to best: {', '.join(f'{v:.1f}' for v in left)}"


def arranged(request: Request, limit: Reach, seed: int, effort: int) -> tuple[int, ...]:
    """Return the layout of another seed, searched so many times as long."""
    return engine.arrange(replace(request, seed=seed), known=limit, effort=effort).layout


def second_looks(request: Request) -> str:
    """Return times of the five best swaps, and of re-arranging after locks and swaps."""
    layout = engine.arrange(request).layout
    _, first = timed(lambda: engine.best_swaps(request, layout))
    _, swaps = timed(lambda: [engine.best_swaps(request, layout) for _ in range(20)])
    rng = np.random.default_rng(1)
    seconds, changed = [], []
    for _ in range(5):
        touched = list(layout)
        for _ in range(2):
            one, other = rng.choice(len(layout), 2, replace=False)
            touched[one], touched[other] = touched[other], touched[one]
        pins = {int(cell): touched[cell] for cell in rng.choice(len(layout), 5, replace=False)}
        wish = replace(request, previous=tuple(touched), pinned=pins)
        again, spent = timed(lambda wish=wish: engine.arrange(wish))
        seconds.append(spent)
        changed.append(again.changed)
    return (
        f"five best swaps {1000 * swaps / 20:.2f} ms (first {1000 * first:.2f});"
        f" after five locks and two swaps {1000 * float(np.mean(seconds)):.0f} ms,"
        f" cells changed {changed}"
    )


def one(name: str, full: bool) -> None:
    """Measure one instance and print it as JSON."""
    request = request_of(name)
    rows = list(ours(request, range(3)))
    made = ask(request)
    limit = reachable(made)
    rows += rivals(made, limit, full)
    words = []
    if made.where.count <= 143:
        words.append(second_looks(request))
    if made.where.count == 72 and full:
        words.append(range_left(request, limit))
    print(json.dumps({"rows": rows, "words": words}))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--full", action="store_true", help="both palettes, long runs")
    parser.add_argument("--one", help="one instance, as JSON")
    options = parser.parse_args()
    if options.one:
        one(options.one, options.full)
        return
    console = Console(width=150)
    for size in SIZES:
        seconds, megabytes = GOALS[size]
        table = Table(title=f"{size} cells; goal {1000 * seconds:.0f} ms, {megabytes} MB")
        for heading in (
            "", "closest", "wanted", "reach", "bound", "gap", "spread", "uneven", "off centre",
            "copies apart", "repeats", "ms", "MB",
        ):  # fmt: skip
            table.add_column(heading, justify="left" if not heading else "right", no_wrap=True)
        remarks = []
        for family in FAMILIES:
            for palette in (0, 1) if options.full else (0,):
                name = f"{size}-{family}-{palette}"
                command = [sys.executable, __file__, "--one", name]
                command += ["--full"] if options.full else []
                done = subprocess.run(command, capture_output=True, text=True, check=True)
                found = json.loads(done.stdout)
                known = instances()["instances"][name]["reachable"]
                table.add_section()
                note = "" if known is None else f" (known {known:.1f})"
                table.add_row(f"[bold]{name}{note}")
                for cells in found["rows"]:
                    table.add_row(*cells)
                remarks += [f"{name}: {words}" for words in found["words"]]
        console.print(table)
        for remark in remarks:
            console.print(remark)


if __name__ == "__main__":
    main()
