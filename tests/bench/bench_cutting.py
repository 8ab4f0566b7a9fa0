"""How much cloth cutting plans take, how much of that is proved, and how long they take.

Run as `python tests/bench/bench_cutting.py [lists]`. Lists are invented: 3 to 8
sizes, 22 to 344 pieces, cut from yardage 40 in wide; one in seven is of a
directional print. Beside them stand handbook arithmetic (each size in strips of
its own) and rectpack, a packer of rectangles which is not bound to guillotine
cuts, so that its layouts can't always be cut with a ruler. Then lists whose
least length is known because they were made by cutting (see perfect.py). Times
are processor time of one thread.
"""

from __future__ import annotations

import os

os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")

import random
import sys
import time
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from math import ceil
from pathlib import Path

import numpy as np
from rich.console import Console
from rich.table import Table

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from perfect import FAMILIES

from placement.checks.cutting import judge_cutting
from placement.cloth.cutting import Cloth, CuttingPlan, Piece, PieceKind, Use
from placement.cloth.forms import FormKind, form_of
from placement.cloth.strips import cut
from placement.cloth.yardage import to_buy
from placement.inches import Inches
from placement.sizes import half_square, quarter_square, round_up

WIDTH = Fraction(40)
KINDS = ("square", "square", "rectangle", "rectangle", "half", "quarter", "block", "side", "sash")


def draw(rng: random.Random) -> tuple[str, Fraction, Fraction, int]:
    """Invent one size with its count, as quilt tops have them."""
    kind = rng.choice(KINDS)
    finished, large = Fraction(rng.randint(2, 12), 2), Fraction(rng.randint(12, 24), 2)
    seams = Fraction(1, 2)
    if kind == "square":
        return kind, finished + seams, finished + seams, 4 * rng.randint(2, 20)
    if kind == "rectangle":
        long = finished * rng.choice((Fraction(3, 2), Fraction(2), Fraction(3)))
        return kind, long + seams, finished + seams, 2 * rng.randint(3, 20)
    if kind == "half":
        side = round_up(half_square(float(finished), 0.25)).value
        return kind, side, side, 2 * rng.randint(3, 24)
    if kind == "quarter":
        side = round_up(quarter_square(float(finished), 0.25)).value
        return kind, side, side, rng.randint(3, 16)
    if kind == "block":
        return kind, large + seams, large + seams, rng.randint(4, 16)
    if kind == "side":
        side = round_up(quarter_square(float(large) * 2**0.5, 0.25)).value
        return kind, side, side, rng.randint(2, 6)
    return (
        kind,
        Fraction(rng.randint(13, 37), 2),
        Fraction(rng.randint(3, 7), 2),
        rng.randint(4, 30),
    )


def quilt_list(seed: int) -> tuple[Piece, ...]:
    """Return an invented list of 3 to 8 different sizes and 22 to 344 pieces."""
    rng = random.Random(seed)
    while True:
        turn = rng.random() > 1 / 7
        drawn = [draw(rng) for _ in range(rng.randint(3, 8))]
        if (
            len({size[1:3] for size in drawn}) == len(drawn)
            and 22 <= sum(d[3] for d in drawn) <= 344
        ):
            return tuple(
                Piece(Use(PieceKind.PATCH, KINDS.index(n)), "", Inches(w), Inches(h), c, turn)
                for n, w, h, c in drawn
            )


def handbook(pieces: tuple[Piece, ...]) -> Fraction:
    """Give each size strips of its own: ceil(count / floor(U / w)) of them."""
    length = Fraction(0)
    for piece in pieces:
        ways = [(piece.width.value, piece.height.value)]
        ways += [(piece.height.value, piece.width.value)] if piece.turn else []
        length += min(ceil(piece.count / (WIDTH // w)) * h for w, h in ways if w <= WIDTH)
    return length


def packer(pieces: tuple[Piece, ...]) -> Fraction:
    """Return the least length of rectpack over its ways to pack and to sort, in eighths."""
    import rectpack

    turn, best = pieces[0].turn, None
    sorts = (rectpack.SORT_AREA, rectpack.SORT_SSIDE, rectpack.SORT_LSIDE)
    ways = (rectpack.MaxRectsBl, rectpack.SkylineBl, rectpack.GuillotineBssfSas)
    for way, order in product(ways, sorts):
        made = rectpack.newPacker(rectpack.PackingMode.Offline, pack_algo=way, sort_algo=order,
                                  rotation=turn)  # fmt: skip
        made.add_bin(int(WIDTH * 8), 10_000)
        for piece in pieces:
            for _ in range(piece.count):
                made.add_rect(int(piece.width.value * 8), int(piece.height.value * 8))
        made.pack()
        top = max(y + h for _, _, y, _, h, _ in made.rect_list())
        best = top if best is None else min(best, top)
    return Fraction(best or 0, 8)


@dataclass(frozen=True)
class Row:
    """One list's results, lengths in inches."""

    pieces: tuple[Piece, ...]
    plan: CuttingPlan
    handbook: Fraction
    rectpack: Fraction
    seconds: float
    faults: int

    @property
    def proved(self) -> bool:
        """Whether no plan lets one buy an eighth of a yard less."""
        return to_buy(self.plan.bound) == to_buy(self.plan.used)

    def waste(self, length: Fraction) -> float:
        """Return the share of a length that is no piece."""
        area = sum(p.width.value * p.height.value * p.count for p in self.pieces)
        return float(1 - area / (length * WIDTH))


def run(pieces: tuple[Piece, ...], *, stacking: bool) -> Row:
    start = time.process_time()
    plan = cut(pieces, Cloth("", form_of(FormKind.YARDAGE)), stacking=stacking)
    seconds = time.process_time() - start
    faults = len(judge_cutting(pieces, plan))
    return Row(pieces, plan, handbook(pieces), packer(pieces), seconds, faults)


def show_known(most: int) -> None:
    """Print what is reached of lists whose least length is known."""
    table = Table(title="least length known")
    for name in ("", "lists", "mean length, yd", "known", "bound", "handbook", "rectpack",
                 "reached", "proved", "faults", "median s", "most s"):  # fmt: skip
        table.add_column(name, justify="right" if name else "left")
    for name, make in FAMILIES.items():
        known = [make(seed) for seed in range(most)]
        # In two stages, as they were made.
        rows = [run(one.pieces, stacking=False) for one in known]
        yards = [
            f"{float(np.mean([float(value) for value in values])) / 36:.3f}"
            for values in (
                [row.plan.used for row in rows],
                [one.least for one in known],
                [row.plan.bound for row in rows],
                [row.handbook for row in rows],
                [row.rectpack for row in rows],
            )
        ]
        reached = sum(r.plan.used == k.least for r, k in zip(rows, known, strict=True))
        proved = sum(row.plan.bound == row.plan.used for row in rows)
        seconds = [row.seconds for row in rows]
        table.add_row(
            name, str(most), *yards, str(reached), str(proved),
            str(sum(row.faults for row in rows)),
            f"{np.median(seconds):.2f}", f"{max(seconds):.2f}",
        )  # fmt: skip
    Console(width=120).print(table)


def show(title: str, rows: list[Row]) -> None:
    """Print one table."""
    used = [row.plan.used.value for row in rows]
    table = Table(title=title)
    for name in ("", "mean length, yd", "mean waste, %", "longer than the plan"):
        table.add_column(name, justify="right" if name else "left")
    lengths = {
        "strips": used,
        "bound": [row.plan.bound.value for row in rows],
        "handbook": [row.handbook for row in rows],
        "rectpack (not guillotine)": [row.rectpack for row in rows],
    }
    for name, values in lengths.items():
        wastes = [row.waste(value) for row, value in zip(rows, values, strict=True)]
        longer = sum(value > own for value, own in zip(values, used, strict=True))
        yards = float(np.mean([float(value) for value in values])) / 36
        waste = 100 * float(np.mean(wastes))
        table.add_row(name, f"{yards:.3f}", f"{waste:.2f}", f"{longer} of {len(rows)}")
    console = Console(width=100)
    console.print(table)
    seconds = [row.seconds for row in rows]
    console.print(
        f"proved at the 1/8 yd step: {sum(r.proved for r in rows)} of {len(rows)}; proved lowest: "
        f"{sum(r.plan.bound == r.plan.used for r in rows)}; faults found by the judge: "
        f"{sum(r.faults for r in rows)}; longer than handbook: "
        f"{sum(r.plan.used.value > r.handbook for r in rows)}; seconds: median "
        f"{np.median(seconds):.2f}, p95 {np.quantile(seconds, 0.95):.2f}, most {max(seconds):.2f}"
    )


if __name__ == "__main__":
    lists = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    for stacking in (True, False):
        rows = [run(quilt_list(seed), stacking=stacking) for seed in range(lists)]
        show("with stacking" if stacking else "without stacking", rows)
    show_known(max(1, lists // 10))
