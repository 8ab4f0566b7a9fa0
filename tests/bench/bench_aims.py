"""What the simplest plan costs, and what it spares: instructions, ruler settings, cuts.

Run as `python tests/bench/bench_aims.py [lists]`. The invented lists of
bench_cutting.py and the background of twenty invented quilts (quilts.py), both cut
from yardage 40 in wide with an allowance of a quarter yard; then one feature fabric
of each quilt from its pre-cuts. Handwork of both aims is counted alike (see
placement.cloth.handwork). The simplest plan is held against the least cloth as the
search for it finds it; the plan told as the least is the simplest of its length, and
how often that spares the cutter something is told besides. Times are processor time
of one thread, for both aims together.
"""

from __future__ import annotations

import os

os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")

import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from rich.console import Console
from rich.table import Table

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from bench_cutting import quilt_list
from quilts import BACKGROUND, QUILTS, Quilt

from placement.checks.cutting import judge_cutting
from placement.checks.simplicity import judge_simplicity
from placement.cloth.aims import cut_for
from placement.cloth.cut_terms import CutTerms
from placement.cloth.cutting import Cloth, CuttingPlan, Otherwise, Piece
from placement.cloth.forms import FormKind, form_of
from placement.cloth.instructions import handwork
from placement.cloth.strips import cut

COLUMNS = ("", "sizes", "least in", "simplest in", "costs in", "costs more to buy in",
           "instructions", "settings", "cuts", "faults", "s")  # fmt: skip
CONSOLE = Console(width=150)


@dataclass(frozen=True)
class Row:
    """One list's plans by both aims."""

    name: str
    pieces: Sequence[Piece]
    plan: CuttingPlan
    least: CuttingPlan
    """As the search for the least cloth finds it."""
    seconds: float

    @property
    def told(self) -> Otherwise:
        """What is told as the least cloth."""
        assert self.plan.otherwise is not None
        return self.plan.otherwise

    @property
    def cost(self) -> float:
        """What the simplest plan costs, inches."""
        return float(self.plan.used.value - self.told.used.value)

    @property
    def bought(self) -> float:
        """What more is bought for it, inches."""
        if self.plan.buy is None or self.told.buy is None:
            return 0.0
        return float(self.plan.buy.value - self.told.buy.value)

    def faults(self) -> int:
        """Count what the judges find."""
        judged = judge_cutting(self.pieces, self.plan)
        return len(judged) + len(judge_simplicity(self.pieces, self.plan, CutTerms().allowance))

    def ratios(self) -> tuple[float, float, float]:
        """Return instructions, settings and cuts of the simplest as shares of the least's."""
        simple, least = self.plan.handwork, self.least.handwork
        return (
            simple.instructions / least.instructions,
            simple.settings / least.settings,
            simple.cuts / least.cuts,
        )

    def cells(self) -> tuple[str, ...]:
        """Write it as a row of a table."""
        simple, least = self.plan.handwork, self.least.handwork
        return (
            self.name, str(len({(p.width, p.height) for p in self.pieces})),
            str(self.told.used), str(self.plan.used), f"{self.cost:g}", f"{self.bought:g}",
            f"{least.instructions} -> {simple.instructions}",
            f"{least.settings} -> {simple.settings}", f"{least.cuts} -> {simple.cuts}",
            str(self.faults()), f"{self.seconds:.2f}",
        )  # fmt: skip


def run(name: str, pieces: Sequence[Piece], cloth: Cloth) -> Row:
    """Cut one list."""
    start = time.process_time()
    plan = cut_for(pieces, cloth)
    seconds = time.process_time() - start
    least = cut(pieces, cloth)
    work = handwork(least.cuts, cloth.form.width)
    return Row(name, pieces, plan, replace(least, handwork=work), seconds)


def feature(quilt: Quilt, count: int) -> Cloth:
    """Return so many pieces of cloth of the quilt's form."""
    return Cloth("f0", form_of(quilt.form), count)


def one_feature(quilt: Quilt) -> Row:
    """Cut the first feature fabric from the fewest pieces of its form that suffice."""
    pieces = [piece for piece in quilt.pieces() if piece.fabric == "f0"]
    rows = (run(f"{quilt.name}: {quilt.form}", pieces, feature(quilt, n)) for n in range(1, 20))
    return next(row for row in rows if row.plan.verdict.fits)


def show(title: str, rows: Sequence[Row]) -> None:
    """Print a table and what it comes to."""
    table = Table(title=title)
    for name in COLUMNS:
        table.add_column(name, justify="right" if name else "left")
    for row in rows:
        table.add_row(*row.cells())
    CONSOLE.print(table)
    ratios = np.array([row.ratios() for row in rows])
    costs, seconds = [row.cost for row in rows], [row.seconds for row in rows]
    share = 100 * sum(costs) / sum(float(row.told.used.value) for row in rows)
    CONSOLE.print(
        f"costs at most 9 in more: {sum(cost <= 9 for cost in costs)} of {len(rows)}; mean "
        f"{np.mean(costs):.2f} in, {share:.1f} % of the least; bought more: mean "
        f"{np.mean([r.bought for r in rows]):.2f} in, most {max(r.bought for r in rows):g}"
    )
    for name, column in zip(("instructions", "ruler settings", "cuts"), ratios.T, strict=True):
        CONSOLE.print(
            f"{name} against the least's: median {np.median(column):.2f}, fewer in "
            f"{(column < 1).sum()}, as many in {(column == 1).sum()}, more in {(column > 1).sum()}"
        )
    spared = [row for row in rows if row.told.handwork < row.least.handwork]
    shorter = sum(row.told.used < row.least.used for row in spared)
    CONSOLE.print(
        f"told as the least: simpler than found in {len(spared)}, and shorter in {shorter} of them"
    )
    CONSOLE.print(
        f"seconds: median {np.median(seconds):.2f}, p95 {np.quantile(seconds, 0.95):.2f}, most "
        f"{max(seconds):.2f}"
    )


def main() -> None:
    """Print the tables."""
    lists = int(sys.argv[1]) if len(sys.argv) > 1 else 60
    bolt = Cloth("", form_of(FormKind.YARDAGE))
    show("invented lists", [run(f"list {at}", quilt_list(at), bolt) for at in range(lists)])
    grounds = [(q.name, [p for p in q.pieces() if p.fabric == BACKGROUND]) for q in QUILTS]
    show("twenty quilts: background", [run(name, pieces, bolt) for name, pieces in grounds])
    show("twenty quilts: a feature fabric", [one_feature(quilt) for quilt in QUILTS])


if __name__ == "__main__":
    main()
