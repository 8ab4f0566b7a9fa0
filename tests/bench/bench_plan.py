"""What ``spreadwell plan`` costs for 42 photos of 12 megapixels, in CPU seconds, children included.

Run as ``python tests/bench/bench_plan.py [FOLDER]``: the photos are made of the pictures in that
folder, or of invented prints, as a phone would take them (4,000 x 3,000 pixels, some noise, light
that falls off). It prints the seconds in all, and those spent drawing. The goals are 10 s in all
and a fifth of them drawing.
"""

from __future__ import annotations

import contextlib
import cProfile
import io
import os
import pstats
import resource
import subprocess
import sys
import tempfile
import time
from itertools import cycle, islice
from pathlib import Path
from typing import TYPE_CHECKING

for threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ.setdefault(threads, "1")

import numpy as np  # noqa: E402  (after the thread count is set)
from PIL import Image  # noqa: E402

if TYPE_CHECKING:
    from collections.abc import Iterator

PHOTOS = 42
SIZE = (4000, 3000)
_ENDINGS = {".jpg", ".jpeg", ".png", ".webp"}


def sources(folder: Path | None) -> Iterator[Image.Image]:
    """Yield pictures of cloth without end: those of a folder, or invented prints."""
    if folder:
        paths = sorted(p for p in folder.iterdir() if p.suffix.lower() in _ENDINGS)
        yield from (Image.open(path).convert("RGB") for path in cycle(paths))
    for seed in cycle(range(PHOTOS)):
        rng = np.random.default_rng(seed)
        ink = rng.integers(30, 230, 3)
        stripes = 30 * np.sin(np.arange(600) / (3 + seed % 9))[None, :, None]
        pixels = ink + stripes * rng.normal(1, 0.2, 3) + rng.normal(0, 12, (450, 600, 3))
        yield Image.fromarray(np.clip(pixels, 0, 255).astype(np.uint8))


def photo(source: Image.Image, seed: int) -> Image.Image:
    """Return what a phone would take of a cloth."""
    rng = np.random.default_rng(seed)
    large = np.asarray(source.resize(SIZE, Image.Resampling.BICUBIC), np.float32)
    light = np.linspace(1.0, 0.93, SIZE[0], dtype=np.float32)[None, :, None]
    noise = rng.normal(0, 3, (SIZE[1], SIZE[0], 1)).astype(np.float32)
    return Image.fromarray(np.clip(large * light + noise, 0, 255).astype(np.uint8))


def spent(call: list[str]) -> float:
    """Run a process; return the CPU seconds of it and its children."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(call, check=True, stdout=subprocess.DEVNULL)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def drawing(call: list[str]) -> tuple[float, float]:
    """Run the command in this process under a profiler; return the share of it spent drawing."""
    from api.cli.main import main as run

    profile = cProfile.Profile(time.process_time, builtins=False)
    with contextlib.redirect_stdout(io.StringIO()):
        profile.runcall(run, call)
    stats = pstats.Stats(profile)
    found = [
        row[3]
        for (file, _, name), row in stats.stats.items()  # type: ignore[attr-defined]
        if "drawing" in file and name in ("picks_png", "svg", "png", "quilt_scene")
    ]
    return sum(found), stats.total_tt  # type: ignore[attr-defined]


def main() -> None:
    """Make the photos, run the command and print what was measured."""
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else None
    with tempfile.TemporaryDirectory() as made:
        paths = []
        for number, source in enumerate(islice(sources(folder), PHOTOS)):
            paths.append(str(Path(made) / f"cloth {number:02}.jpg"))
            photo(source, number).save(paths[-1], "JPEG", quality=90)
        call = ["plan", *paths[1:], "--background", paths[0], "--out", str(Path(made) / "quilt")]
        command = [sys.executable, "-m", "api.cli", *call]
        print(f"{PHOTOS} photos of 12 megapixels, CPU s  {spent(command):6.1f}")
        share, total = drawing(call)
        print(f"of which drawing (one process)      {share:6.1f} of {total:.1f}")


if __name__ == "__main__":
    main()
