"""What one damaged byte of a data file costs: every byte of a page in turn.

Of the head of the file, and of a page of changes, every byte is changed; then the plans are
listed and read as the program does it, and mended from the daily copy.
Run with ``python tests/bench/bench_damage.py [step]``: every byte, or every so many.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parents[2]))

from api.storage.backup import daily_copy, keep_daily
from tests.api.storage.damaging import PAGE, after, filled, pages_of


def main() -> None:
    """Damage each byte, and print how it went, a line a page."""
    step = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    with TemporaryDirectory() as name:
        folder = Path(name)
        sound = folder / "sound"
        held = filled(sound)
        keep_daily(sound)
        whole, copy = sound.read_bytes(), daily_copy(sound).read_bytes()
        for page, kind in pages_of(sound, "Plan 3 again").items():
            came: Counter[str] = Counter()
            for at in range(0, PAGE, step):
                damaged = bytearray(whole)
                damaged[page * PAGE + at] ^= 0xA5
                came.update(after(folder / "plans", bytes(damaged), copy, held))
            print(
                f"page {page} ({kind}), {len(range(0, PAGE, step))} bytes:", dict(came), flush=True
            )


if __name__ == "__main__":
    main()
