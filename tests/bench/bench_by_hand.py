"""How long the answers to changes by hand take: `python tests/bench/bench_by_hand.py`.

One thread (OMP_NUM_THREADS=1), CPU time, the median of several runs.
"""

from __future__ import annotations

from statistics import median
from time import process_time
from typing import TYPE_CHECKING

import numpy as np

from palette.colour import Lab
from palette.fabric import Fabric, Share
from palette.picking.contrast import judge
from palette.picking.pick import pick
from palette.picking.substitutes import substitutes
from palette.solid import cloth
from palette.thread import judge_threads, plain_threads

if TYPE_CHECKING:
    from collections.abc import Callable


def fabric(label: str, rng: np.random.Generator) -> Fabric:
    """Return a print of four invented colours."""
    lab = rng.uniform([12, -45, -45], [90, 45, 45], (4, 3)).round(2)
    shares = (0.4, 0.3, 0.2, 0.1)
    parts = (Share(Lab(*spot), share) for spot, share in zip(lab.tolist(), shares, strict=True))
    mean = Lab.rounded(np.array(shares) @ lab)
    return Fabric(label, label, mean, tuple(parts), photo=label)


def timed(work: Callable[[], object], times: int = 15) -> float:
    """Return milliseconds of CPU."""
    work()
    taken = []
    for _ in range(times):
        start = process_time()
        work()
        taken.append(process_time() - start)
    return 1000 * median(taken)


def main() -> None:
    """Print a table."""
    rng = np.random.default_rng(4)
    fabrics = [fabric(f"f{k}", rng) for k in range(60)]
    contrasts = judge(fabrics, [fabric("ground", rng)])
    print(f"{'what':52}  ms")
    for count in (12, 18, 30):
        choice = pick(fabrics, count, contrasts)
        spent = timed(lambda c=choice: substitutes(fabrics, contrasts, c, c.kept[0]))  # type: ignore[misc]
        print(f"{f'tries, 60 fabrics, {count} wanted':52}{spent:6.1f}")
    spent = timed(lambda: judge_threads(plain_threads(), fabrics))
    print(f"{f'{len(plain_threads())} threads on 60 prints of four colours':52}{spent:6.1f}")
    for colour in ("#a83e32", "#ff0000"):
        spent = timed(lambda c=colour: cloth.__wrapped__(c), 5)  # type: ignore[misc]
        print(f"{f'plain cloth of {colour}':52}{spent:6.1f}")


if __name__ == "__main__":
    main()
