"""A server that is killed in the middle of writing loses nothing that it acknowledged."""

from __future__ import annotations

import random
import re
import sqlite3
import subprocess
import sys
import zlib
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

ROUNDS = 6
ALL_KEPT = 100
"""Of the changes of a plan so many of the last are all kept."""

WRITER = """
import sys
from api.storage.kept import Draft
from api.storage.store import Store

store = Store(sys.argv[1])
plans = store.plans()
saved = store.add(Draft("Killed", "0", "Began")) if not plans else store.get(plans[0].id)
number = int(saved.body)
while True:
    number += 1
    picture = b"picture %d" % number * 500
    saved = store.save(
        saved.id, Draft("Killed", str(number), "Wrote", {str(number): picture}),
        expected=saved.revision,
    )
    print(saved.revision, number, flush=True)
"""


def _write_and_be_killed(file: Path, count: int) -> list[tuple[int, int]]:
    """Run the writer, kill it after so many acknowledgements, return what it said."""
    child = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(file)], stdout=subprocess.PIPE, text=True
    )
    assert child.stdout is not None
    first = [child.stdout.readline() for _ in range(count)]
    child.kill()
    lines = [*first, *child.stdout.readlines()]
    child.stdout.close()
    child.wait()
    # The last line may have been cut off.
    whole = [line for line in lines if re.fullmatch(r"\d+ \d+\n", line)]
    return [(int(a), int(b)) for a, b in (line.split() for line in whole)]


def test_nothing_acknowledged_is_lost_when_the_program_is_killed(tmp_path: Path) -> None:
    file, chance = tmp_path / "plans.sqlite3", random.Random(20)
    acknowledged: dict[int, int] = {}
    for _ in range(ROUNDS):
        acknowledged.update(_write_and_be_killed(file, chance.randrange(1, 60)))
        with sqlite3.connect(file) as link:
            assert link.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            kept = {
                number: int(zlib.decompress(body))
                for number, body in link.execute("SELECT number, body FROM revisions")
            }
            pictures = {int(name) for (name,) in link.execute("SELECT name FROM pictures")}
        link.close()
        # Of earlier changes some are thinned out by rule.
        late = {n: text for n, text in acknowledged.items() if n > max(kept) - ALL_KEPT}
        assert late
        assert late.items() <= kept.items()
        assert set(late.values()) <= pictures
    assert len(acknowledged) > ROUNDS
