"""How long a booklet of 18 fabrics with photos takes, and how large it is.

Run: python tests/bench/bench_booklet.py
The aim is 1.5 s and 4 MB for the sample. Times are of one process with one thread:
the first includes loading the typesetter, the others do not.
"""

from __future__ import annotations

import time

from api.booklet.edition import Edition
from api.booklet.output.pages import booklet_pdf
from api.booklet.output.web import booklet_html
from api.pattern.planner import make
from api.photos.sample import sample_brief, sample_photos, take_in_photo


def main() -> None:
    """Print a table."""
    intakes = [take_in_photo(photo) for photo in sample_photos()]
    plan = make(sample_brief(intakes))
    pictures = {intake.swatch.picture: intake.picture for intake in intakes}
    print(f"{'edition':<22}{'wall s':>8}{'CPU s':>8}{'MB':>8}")
    editions = {
        "letter, first": Edition(),
        "letter, again": Edition(),
        "A4": Edition(paper="a4"),
        "black": Edition(ink="black"),
    }
    for name, edition in editions.items():
        wall, cpu = time.perf_counter(), time.process_time()
        size = len(booklet_pdf(plan, pictures, edition))
        _row(name, wall, cpu, size)
    wall, cpu = time.perf_counter(), time.process_time()
    size = len(booklet_html(plan, pictures).encode())
    _row("web page", wall, cpu, size)


def _row(name: str, wall: float, cpu: float, size: int) -> None:
    wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
    print(f"{name:<22}{wall:>8.2f}{cpu:>8.2f}{size / 1e6:>8.2f}")


if __name__ == "__main__":
    main()
