"""Whether what is kept comes back the same: plan files with their history, and all plans at once.

Keeps 30 varied plans with pictures, threads and changes, moves each to a fresh data file by its
plan.zip, and all of them by a copy. Run with ``python tests/bench/bench_library.py [plans]``.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parents[2]))

from api.photos.worker_pool import Reader
from api.storage.backup import back_up, restore
from api.storage.planfile import packed, take_in
from api.storage.store import Store
from tests.api.library import NAMES, held, keep


def main() -> None:
    """Move a library by both ways, and compare what the data files hold."""
    names = NAMES[: int(sys.argv[1]) if len(sys.argv) > 1 else 30]
    with TemporaryDirectory() as folder:
        here, there, fresh, copy = (Path(folder) / name for name in "abcd")
        mine, other, reader = Store(here), Store(there), Reader(1)
        plans = [keep(mine, name) for name in names]
        began, size = time.process_time(), 0
        for plan in plans:
            file = packed(mine, plan, history=True)
            size += len(file)
            take_in(other, reader, file)
        took = (time.process_time() - began) / len(plans)
        reader.close()
        mine.close()
        other.close()
        back_up(here, copy)
        restore(copy, fresh)
        whole = held(here)
        by_file = sum(held(there).get(key) == value for key, value in whole.items())
        by_copy = sum(held(fresh).get(key) == value for key, value in whole.items())
    print(f"{len(plans)} plans, {size / len(plans) / 1e3:.0f} kB a file, {took:.2f} s of CPU each")
    print(f"the same after plan.zip: {by_file}; after a copy of all of them: {by_copy}")


if __name__ == "__main__":
    main()
