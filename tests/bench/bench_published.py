"""How many published three-stage instances fit the best known number of sheets.

Run as `python tests/bench/bench_published.py [instances]`. Where not all pieces find a
place, the bound says whether any plan could hold them: no strips of all pieces are
lower in all. Data and source: tests/data/three_stage_sheets.json. Times are processor
time of one thread.
"""

from __future__ import annotations

import os

os.environ.update(OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")

import json
import sys
import time
from fractions import Fraction
from pathlib import Path

import numpy as np
from rich.console import Console
from rich.table import Table

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from placement.checks.cutting import judge_cutting
from placement.cloth.cutting import Cloth, Piece, PieceKind, Use
from placement.cloth.forms import Form
from placement.cloth.strips import cut
from placement.inches import Inches

DATA = Path(__file__).resolve().parents[1] / "data/three_stage_sheets.json"


def _inches(length: int) -> Inches:
    return Inches(Fraction(length))


def main() -> None:
    """Print a table."""
    most = int(sys.argv[1]) if len(sys.argv) > 1 else None
    table = Table(title="pieces on the best known number of sheets")
    for name in ("instance", "sheets", "verdict", "bound", "height there is", "left out",
                 "faults", "s"):  # fmt: skip
        table.add_column(name, justify="left" if name in ("instance", "verdict") else "right")
    reached, faults, seconds = 0, 0, []
    instances = list(json.loads(DATA.read_text())["instances"].items())[:most]
    for name, known in instances:
        width, height = map(_inches, known["sheet"])
        form = Form("sheet", width, height, width, height)
        pieces = [
            Piece(Use(PieceKind.BORDER, at), "", _inches(w), _inches(h), count, turn=False)
            for at, (w, h, count) in enumerate(known["pieces"], 1)
        ]
        start = time.process_time()
        plan = cut(pieces, Cloth("", form, known["sheets"]))
        seconds.append(time.process_time() - start)
        found = len(judge_cutting(pieces, plan))
        reached, faults = reached + plan.verdict.fits, faults + found
        table.add_row(
            name, str(known["sheets"]), plan.verdict, str(plan.bound),
            str(known["sheets"] * known["sheet"][1]), str(sum(n for _, n in plan.missing)),
            str(found), f"{seconds[-1]:.2f}",
        )  # fmt: skip
    console = Console(width=110)
    console.print(table)
    console.print(
        f"all pieces placed: {reached} of {len(instances)}; faults found by the judge: {faults}; "
        f"seconds: median {np.median(seconds):.2f}, most {max(seconds):.2f}"
    )


if __name__ == "__main__":
    main()
