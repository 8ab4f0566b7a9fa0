"""Lists of pieces whose least length is known because they were made by cutting.

Perfect: a cloth is parted from edge to edge into strips and every strip into
segments, with nothing left over, so no plan can be lower than the cloth was:
the zero-waste instances of the strip packing literature (such as those of Hopper
and Turton (2001), doi:10.1016/S0377-2217(99)00357-4; here invented and of two
stages). Stock: pieces as high as the strip, so that strips are the bins of a
one-dimensional cutting stock problem (Gilmore and Gomory (1961),
doi:10.1287/opre.9.6.849); every strip is full, so strips x height is least.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from placement.cloth.cutting import Piece, PieceKind, Use
from placement.inches import Inches

Size = tuple[int, int]
"""Width and height, eighths of an inch."""


@dataclass(frozen=True, slots=True)
class Known:
    """A list of pieces with its least length."""

    pieces: tuple[Piece, ...]
    """What to cut."""
    width: Inches
    """Usable width of the cloth."""
    least: Inches
    """No plan is shorter, and one is as short."""


def _parted(rng: random.Random, whole: int, parts: int, least: int) -> list[int]:
    """Part a length into pieces of at least ``least`` eighths."""
    marks = sorted(rng.sample(range(whole - parts * least + parts - 1), parts - 1))
    edges = [-1, *marks, whole - parts * least + parts - 1]
    return [b - a - 1 + least for a, b in pairwise(edges)]


def _known(sizes: Counter[Size], width: int, least: int, *, turn: bool) -> Known:
    pieces = tuple(
        Piece(Use(PieceKind.PATCH, number), "", _eighths(wide), _eighths(high), count, turn)
        for number, ((wide, high), count) in enumerate(sorted(sizes.items()), 1)
    )
    return Known(pieces, _eighths(width), _eighths(least))


def _eighths(length: int) -> Inches:
    return Inches(Fraction(length, 8))


def perfect(seed: int, strips: int, most: int, *, turn: bool = False) -> Known:
    """Part a cloth 40 in wide into ``strips`` kinds of strips of up to ``most`` segments each.

    Each kind of strip is cut up to four times; segments are 1 1/2 in or wider.
    """
    rng = random.Random(seed)
    sizes, length = Counter[Size](), 0
    for _ in range(strips):
        high, often = rng.randint(12, 80), rng.randint(1, 4)
        for wide in _parted(rng, 320, rng.randint(2, most), 12):
            sizes[wide, high] += often
        length += high * often
    return _known(sizes, 320, length, turn=turn)


def stock(seed: int, patterns: int, most: int) -> Known:
    """Return segments of strips 2 1/2 in high and 40 in long, of ``patterns`` full ways to cut."""
    rng = random.Random(seed)
    sizes, strips = Counter[Size](), 0
    for _ in range(patterns):
        often = rng.randint(2, 9)
        for wide in _parted(rng, 320, rng.randint(2, most), 20):
            sizes[wide, 20] += often
        strips += often
    return _known(sizes, 320, 20 * strips, turn=False)


FAMILIES = {
    "perfect, small": lambda seed: perfect(seed, 3, 4),
    "perfect, middle": lambda seed: perfect(seed, 5, 5),
    "perfect, large": lambda seed: perfect(seed, 8, 6),
    "perfect, may be turned": lambda seed: perfect(seed, 4, 4, turn=True),
    "stock, small": lambda seed: stock(seed, 3, 4),
    "stock, large": lambda seed: stock(seed, 8, 6),
}
"""Makers of lists by the name of their family, from a seed."""
