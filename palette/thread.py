"""How a quilting thread shows on fabrics: which threads speak, and which keep quiet.

A line of quilting is 0.3 to 0.5 mm of thread on cloth (common practice; 50 weight
is near the lower end, 28 weight near the upper). Seen from a metre, 0.4 mm is 1.4
minutes of arc, about as wide as the blur of the eye, and colour is blurred more than
lightness: by the kernels of S-CIELAB (Zhang and Wandell 1996, 'A spatial extension of
CIELAB for digital color image reproduction'; widths and weights from memory) such a
line keeps 0.45 of its contrast in lightness, 0.21 in red-green and 0.15 in
yellow-blue. So for thread, value counts for more than hue, as quilters say. What is
judged is the cloth against the cloth with that much of the thread's colour in it:
CIEDE2000 with kL = 1 as everywhere.

A line crosses the colours of a print in proportion to their shares, so it is held
against each of the fabric's main colours. Three limits make the verdict, all of them
judgements with a reason:

`VANISHES`, 5
    A thread one step of Munsell value from the cloth stays below it; that 'a shade
    lighter or darker blends' is common practice.
`SHOWS`, 8
    Two steps come up to it in the middle of the scale, three steps anywhere.
`MOST`, two thirds
    A line is seen as a whole when no more than every third stitch of it is missing,
    and it is gone when no more than every third is there.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from palette.colour import Floats, Lab, difference, from_srgb
from palette.picking.similarity import weighted_colours

if TYPE_CHECKING:
    from collections.abc import Sequence

    from palette.fabric import Fabric

KEPT = (0.45, 0.21, 0.15)
"""What is left of a line's contrast in L*, a* and b* for an eye a metre away."""
SHOWS = 8.0
"""From this difference on, as it reaches the eye, a line is seen without looking for it."""
VANISHES = 5.0
"""Below this difference it is not seen across a quilt."""
MOST = 2 / 3
"""Share of a line that decides for the whole of it."""


class Verdict(StrEnum):
    """How a line of quilting does on a fabric."""

    SHOWS = "shows"
    SOFT = "soft"
    VANISHES = "vanishes"


PLAIN = {
    "plain:white": ("White", "#fbfaf6"),
    "plain:ecru": ("Ecru", "#ece2cb"),
    "plain:pearl-grey": ("Pearl grey", "#c9c8c4"),
    "plain:grey": ("Mid grey", "#8f8e8b"),
    "plain:charcoal": ("Charcoal", "#4b4b4d"),
    "plain:black": ("Black", "#1b1a1c"),
    "plain:tan": ("Tan", "#b99a72"),
    "plain:brown": ("Brown", "#6a4a35"),
    "plain:rust": ("Rust", "#a9572f"),
    "plain:gold": ("Gold", "#d3a63c"),
    "plain:red": ("Red", "#a9283a"),
    "plain:rose": ("Rose", "#d9a0a4"),
    "plain:sage": ("Sage", "#93a184"),
    "plain:green": ("Green", "#3f6b4a"),
    "plain:teal": ("Teal", "#2f7a80"),
    "plain:sky": ("Sky", "#9dbdd6"),
    "plain:navy": ("Navy", "#26304f"),
    "plain:violet": ("Violet", "#7a5b93"),
}
"""Threads that every shop has in some brand or other: id, plain name and colour (invented)."""


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread."""

    id: str
    """Its id."""
    name: str
    """What people call it."""
    colour: Lab
    """The colour it reads as."""


@dataclass(frozen=True, slots=True)
class Line:
    """A line of one thread on one fabric."""

    fabric: str
    """Id of the fabric."""
    verdict: Verdict
    """Whether it shows."""
    contrast: float
    """Mean difference along the line as it reaches the eye, CIEDE2000."""


@dataclass(frozen=True, slots=True)
class Judged:
    """A thread on every fabric."""

    thread: Thread
    """The thread."""
    lines: tuple[Line, ...]
    """One a fabric, in their order."""

    def where(self, verdict: Verdict) -> tuple[str, ...]:
        """Return the ids of the fabrics on which that is its verdict."""
        return tuple(line.fabric for line in self.lines if line.verdict == verdict)


@lru_cache(maxsize=1)
def plain_threads() -> tuple[Thread, ...]:
    """Return the plain threads as values."""
    return tuple(
        Thread(label, name, from_srgb(*bytes.fromhex(digits[1:])))
        for label, (name, digits) in PLAIN.items()
    )


def verdict(seen: float, gone: float) -> Verdict:
    """Say how a line does, given the shares of it that are seen and that are not.

    Examples
    --------
    >>> print(verdict(1, 0), verdict(0.5, 0.5), verdict(0.2, 0.8))
    shows soft vanishes
    """
    if gone >= MOST:
        return Verdict.VANISHES
    return Verdict.SHOWS if seen >= MOST else Verdict.SOFT


def judge_threads(threads: Sequence[Thread], fabrics: Sequence[Fabric]) -> tuple[Judged, ...]:
    """Hold every thread against every fabric.

    Parameters
    ----------
    threads, fabrics : Sequence[Thread], Sequence[Fabric]
        Each id once.

    Returns
    -------
    tuple of Judged
        One a thread, in their order.
    """
    if not threads or not fabrics:
        return tuple(Judged(thread, ()) for thread in threads)
    colours, shares = weighted_colours(fabrics)
    spun = np.array([thread.colour.array() for thread in threads])
    # All at once: threads, fabrics, colours of a fabric.
    line = colours[None] + np.array(KEPT) * (spun[:, None, None] - colours[None])
    apart = difference(line, colours[None])
    contrast = (apart * shares).sum(axis=2)
    seen, gone = _share(apart >= SHOWS, shares), _share(apart < VANISHES, shares)
    return tuple(
        Judged(
            thread,
            tuple(
                Line(fabric.id, verdict(seen[t, f], gone[t, f]), round(float(contrast[t, f]), 6))
                for f, fabric in enumerate(fabrics)
            ),
        )
        for t, thread in enumerate(threads)
    )


def calm(judged: Sequence[Judged]) -> str | None:
    """Return the id of the thread that quietens most; None without threads or fabrics.

    It vanishes on most fabrics; among as good ones its strongest contrast is least.
    """
    able = [entry for entry in judged if entry.lines]
    best = min(able, key=_loudness, default=None)
    return best.thread.id if best else None


def showy(judged: Sequence[Judged]) -> str | None:
    """Return the id of the thread that speaks most; None without threads or fabrics.

    It shows on most fabrics; among as good ones its weakest contrast is largest.
    """
    able = [entry for entry in judged if entry.lines]
    best = max(able, key=_clarity, default=None)
    return best.thread.id if best else None


def _share(there: np.ndarray, shares: Floats) -> Floats:
    """Add up the shares where something holds; rounded, for sums of rounded shares."""
    return np.asarray(np.round((there * shares).sum(axis=2), 9))


def _loudness(entry: Judged) -> tuple[int, float]:
    return -len(entry.where(Verdict.VANISHES)), max(line.contrast for line in entry.lines)


def _clarity(entry: Judged) -> tuple[int, float]:
    return len(entry.where(Verdict.SHOWS)), min(line.contrast for line in entry.lines)
