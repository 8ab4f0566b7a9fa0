"""How near the reachable least difference comes to the certified one, and at what cost.

Run it as a script: ``python tests/bench/bench_reach.py [file of instances]``. The
instances are made-up palettes with copies and, where known, the largest least
edge difference, certified by long runs elsewhere. It prints one row an instance
and effort; nothing is timed as a test.
"""

from __future__ import annotations

import json
import sys
import tracemalloc
from fractions import Fraction
from pathlib import Path
from time import process_time

import numpy as np
from skimage.color import deltaE_ciede2000

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from placement.inches import Inches  # noqa: E402 - the checkout must be found first
from placement.top.reach.reach import reach  # noqa: E402
from placement.top.setting.setting import Setting  # noqa: E402

INSTANCES = ROOT.parent / "shared" / "placement" / "instances.json"
EFFORTS = (1.0, 0.06)
ROUNDED = 6e-4
"""Certified values are given to three decimals."""


def question(instance):
    """Return an instance as the arguments of reach."""
    kind = "on point" if instance["setting"] == "onpoint" else "straight"
    setting = Setting(kind, *instance["across_down"], Inches(Fraction(8)))
    lab = np.array(instance["lab"])
    difference = deltaE_ciede2000(lab[:, None], lab[None])
    return setting, (difference + difference.T) / 2, tuple(instance["copies"])


def row(instance, seconds):
    """Print one instance; return whether it reaches the certified value (None if unknown)."""
    arguments = question(instance)
    begun = process_time()
    found = reach(*arguments, seconds=seconds)
    spent = process_time() - begun
    known = instance["least_edge_difference"]
    certified = known["best"] if known else None
    reached = None if known is None else found.best >= certified - ROUNDED
    print(
        f"{instance['name']:16} {seconds:5.2f} {certified or '-':>9} {found.best:8.3f} "
        f"{found.bound:8.3f} {'yes' if found.proved else 'no':>6} {spent:7.2f} "
        f"{'' if reached is not False else 'short'}"
    )
    return reached, spent


def summary(seconds, rows):
    """Print how many certified values were reached, by size."""
    known = [reached for reached, _ in rows if reached is not None]
    slowest = max(spent for _, spent in rows)
    print(f"effort {seconds}: {sum(known)} of {len(known)} certified values reached, ", end="")
    print(f"slowest {slowest:.2f} s of processor time\n")


def memory(cells_across, fabrics):
    """Print the peak memory and time of a square straight setting with many fabrics."""
    setting = Setting("straight", cells_across, cells_across, Inches(Fraction(8)))
    points = np.random.default_rng(0).uniform(0, 60, (fabrics, 3))
    difference = np.sqrt(((points[:, None] - points[None]) ** 2).sum(axis=-1))
    count = cells_across**2
    copies = [count // fabrics + (f < count % fabrics) for f in range(fabrics)]
    begun = process_time()
    reach(setting, difference, copies)
    spent = process_time() - begun
    tracemalloc.start()
    reach(setting, difference, copies)
    peak = tracemalloc.get_traced_memory()[1] / 2**20
    tracemalloc.stop()
    print(f"{count} cells, {fabrics} fabrics: {spent:.2f} s of processor time, peak {peak:.0f} MB")


def main():
    """Print the tables."""
    path = Path(sys.argv[1]) if len(sys.argv) > 1 else INSTANCES
    if not path.exists():
        sys.exit(f"no instances at {path}; give their file as an argument")
    instances = json.loads(path.read_text(encoding="utf-8"))
    print("instance        effort certified     best    bound proved     CPU")
    for seconds in EFFORTS:
        summary(seconds, [row(instance, seconds) for instance in instances])
    for fabrics in (40, 600):
        memory(50, fabrics)


if __name__ == "__main__":
    main()
