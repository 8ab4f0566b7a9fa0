"""How large a saved plan and the answer to a swap are, and how far a swap walks.

Run as ``python tests/bench/bench_walk.py``. A move is a call in a module of the program that
follows a call in another, in one thread. The swaps are of different blocks of the sample, the
last of which is watched.
"""

from __future__ import annotations

import sys
import tempfile
import threading
from collections import defaultdict
from itertools import pairwise
from pathlib import Path
from typing import TYPE_CHECKING

from fastapi.testclient import TestClient

import api
from api.storage.store import Store
from api.web.app import create_app
from api.web.routes.plans import sample_draft

if TYPE_CHECKING:
    from types import FrameType

ROOT = Path(api.__file__).parents[1]
ROOMS = tuple(str(ROOT / room) + "/" for room in ("api", "palette", "placement"))


class Walk:
    """Notes which modules of the program calls are made in, thread by thread."""

    def __init__(self) -> None:
        self.watched = False
        self._calls: defaultdict[int, list[str]] = defaultdict(list)

    def note(self, frame: FrameType, event: str, _arg: object) -> None:
        """Take in an event of ``sys.setprofile``."""
        name = frame.f_code.co_filename
        if self.watched and event == "call" and name.startswith(ROOMS):
            self._calls[threading.get_ident()].append(name)

    def moves(self) -> int:
        """Return how often a call was made in another module than the one before."""
        return sum(a != b for calls in self._calls.values() for a, b in pairwise(calls))

    def modules(self) -> int:
        """Return in how many modules calls were made."""
        return len({name for calls in self._calls.values() for name in calls})


def main() -> None:
    """Swap blocks of the sample and print what was measured."""
    draft = sample_draft()
    print(f"saved sample, bytes         {len(draft.body.encode()):8,}")
    walk = Walk()
    threading.setprofile(walk.note)
    sys.setprofile(walk.note)
    with tempfile.TemporaryDirectory() as folder:
        store = Store(Path(folder) / "plans.sqlite3")
        with TestClient(create_app(store), base_url="http://127.0.0.1") as client:
            here = f"/api/plans/{store.add(draft).id}"
            whole = client.get(here)
            print(f"whole view, bytes           {len(whole.content):8,}")
            fabrics = whole.json()["plan"]["layout"]["fabrics"]
            others = [k for k, fabric in enumerate(fabrics) if fabric != fabrics[0]]
            for turn, other in enumerate(others[:3]):
                walk.watched = turn == 2
                answer = client.post(f"{here}/layout/swap", json={"first": 0, "second": other})
            walk.watched = False
    sys.setprofile(None)
    answer.raise_for_status()
    print(f"answer to a swap, bytes     {len(answer.content):8,}")
    print(f"moves between modules       {walk.moves():8}")
    print(f"modules                     {walk.modules():8}")


if __name__ == "__main__":
    main()
