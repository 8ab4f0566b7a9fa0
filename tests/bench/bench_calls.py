"""How odd calls of the command line end: every failure has to be a sentence.

Run with ``python tests/bench/bench_calls.py [calls] [seed]``.
"""

from __future__ import annotations

import os
import random
import sys
from itertools import islice
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parents[2]))

from api.pattern.stored import to_json
from tests.api.cli.odd_calls import calls, commands, fault, odd_files
from tests.api.conftest import jpeg
from tests.api.varied import plan_named


def main() -> None:
    """Make so many calls with odd files and sound ones; print those that end badly."""
    count, seed = (int(word) for word in (sys.argv[1:] + ["1000", "1"][len(sys.argv) - 1 :])[:2])
    text, bad = to_json(plan_named("own wheel")), 0
    with TemporaryDirectory() as name:
        folder = Path(name)
        os.environ["XDG_DATA_HOME"] = name
        os.chdir(name)
        sound = [folder / "plan.json", folder / "small.jpg"]
        files = odd_files(folder) + sound * 4
        for words in islice(calls(random.Random(seed), commands(), files), count):
            sound[0].write_text(text, encoding="utf-8")
            sound[1].write_bytes(jpeg((168, 62, 50)))
            if wrong := fault(words):
                bad += 1
                print(*(word.replace(name, "")[:60] for word in words), "\n   ", wrong[:300])
    print(f"{count} odd calls: {bad} ended without a sentence")


if __name__ == "__main__":
    main()
