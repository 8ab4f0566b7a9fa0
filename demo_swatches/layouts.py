"""Florals laid out on a repeat: tossed, trailing, hanging."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from demo_swatches import florals as grow
from demo_swatches.repeat import Repeat
from demo_swatches.shapes import Motif, circle, moved, path, stroke, wobbly

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from numpy.random import Generator


def _scatter(
    repeat: Repeat,
    rng: Generator,
    drawings: Sequence[tuple[float, int, Callable[[int], Motif]]],
    tight: float = 1.0,
) -> None:
    """Toss (radius, how many, drawing) over the repeat; the motif is scaled to its radius."""
    radii = [radius for radius, count, _ in drawings for _ in range(count)]
    sources = {radius: drawing for radius, _, drawing in drawings}
    places = repeat.toss(rng, radii, tight)
    for k, (x, y, radius) in reversed(list(enumerate(places))):
        repeat.paint_at(sources[radius](k), (x, y), degrees=rng.uniform(0, 360), size=radius)


def _centred(motif: Motif) -> Motif:
    """Shift an upright motif from standing on the origin to lying around it."""
    return [((line + np.array([0, 0.5])) * 1.9, ink) for line, ink in motif]


def _with_leaves(rng: Generator, flower: Motif, green: tuple[int, int, int], reach: float) -> Motif:
    """Put two to four leaves behind a flower."""
    motif: Motif = []
    start = rng.uniform(0, 360)
    for k in range(int(rng.integers(3, 5))):
        blade = grow.leaf(green[0], green[1], 0.5, 0.1, green[2])
        motif += moved(blade, (0, 0), start + k * rng.uniform(70, 110), reach, mirror=k % 2 == 0)
    return motif + flower


def garden(rng: Generator) -> Repeat:
    """Return the large floral: roses, anemones, buds and leaves, layered and tossed.

    Inks: 1 light, 2 middle, 3 deep, 4 edge, 5 heart, 6 leaf, 7 rib, 8 leaf in shade,
    9 filler.
    """
    repeat = Repeat(470, 430, half_drop=True)
    _scatter(
        repeat,
        rng,
        [
            (84, 2, lambda _: _with_leaves(rng, grow.rose(rng, (1, 2, 3, 4)), (6, 7, 8), 1.36)),
            (62, 4, lambda _: _with_leaves(rng, grow.anemone(rng, (2, 3, 4, 5)), (6, 7, 8), 1.36)),
            (
                40,
                6,
                lambda _: _with_leaves(rng, grow.anemone(rng, (1, 2, 4, 5), 5), (8, 7, 6), 1.36),
            ),
            (30, 9, lambda _: _centred(grow.sprig(rng, 6, 7, 3, grow.bud(1, 2, 8)))),
            (17, 26, lambda _: _centred(grow.bud(2, 3, 6))),
            (6, 60, lambda _: [(circle(0.45), 9)]),
        ],
        0.88,
    )
    return repeat


def briar(rng: Generator) -> Repeat:
    """Return middling roses and leaves, close together; inks as in `garden`, without hearts."""
    repeat = Repeat(300, 300, half_drop=True)
    _scatter(
        repeat,
        rng,
        [
            (46, 6, lambda _: _with_leaves(rng, grow.rose(rng, (1, 2, 3, 4)), (5, 4, 6), 1.42)),
            (26, 9, lambda _: _with_leaves(rng, grow.rose(rng, (2, 1, 3, 4)), (6, 4, 5), 1.5)),
            (15, 24, lambda _: _centred(grow.leaf(5, 4, 0.5, 0.1, 6))),
            (8, 30, lambda _: _centred(grow.bud(1, 2, 5))),
        ],
        0.92,
    )
    return repeat


def petals(rng: Generator) -> Repeat:
    """Return blossoms and stray petals of middling size.

    Inks: 1 petal, 2 blush, 3 edge, 4 heart, 5 leaf, 6 rib.
    """
    repeat = Repeat(280, 280, half_drop=True)
    _scatter(
        repeat,
        rng,
        [
            (38, 5, lambda _: _with_leaves(rng, grow.blossom(rng, 1, 2, 4, 3), (5, 6, 0), 1.45)),
            (24, 8, lambda _: grow.blossom(rng, 1, 2, 4, 3)),
            (14, 16, lambda _: _centred(grow.leaf(5, 6, 0.55))),
            (8, 40, lambda k: _centred([(grow.petal(0.7, 1.0, 0.1), 1 + k % 2)])),
        ],
    )
    return repeat


def marigolds(rng: Generator) -> Repeat:
    """Return packed heads of many petals.

    Inks: 1 light, 2 middle, 3 deep, 4 heart, 5 leaf, 6 rib.
    """
    repeat = Repeat(330, 330, half_drop=True)
    _scatter(
        repeat,
        rng,
        [
            (56, 4, lambda _: _with_leaves(rng, _marigold(rng), (5, 6, 0), 1.35)),
            (38, 5, lambda _: _with_leaves(rng, _marigold(rng), (5, 6, 0), 1.35)),
            (22, 10, lambda _: _marigold(rng)),
            (12, 30, lambda _: _centred(grow.leaf(5, 6, 0.5))),
        ],
    )
    return repeat


def _marigold(rng: Generator) -> Motif:
    motif: Motif = []
    for size, rays, ink in ((1.0, 17, 2), (0.78, 14, 1), (0.56, 11, 2), (0.36, 8, 1)):
        ring = grow.daisy(rng, ink, 3, 3, rays)
        motif += moved(ring, (0, 0), rng.uniform(0, 40), size)
    return [*motif, (wobbly(rng, 0.13), 4)]


def ditsy(rng: Generator, size: float = 190, flower: float = 10.5) -> Repeat:
    """Return little daisies with leaves: inks 1 ray, 2 heart, 3 leaf, 4 second flower."""
    repeat = Repeat(size, size, half_drop=True)

    def head(k: int) -> Motif:
        ray = 4 if k % 4 == 3 else 1
        return _with_leaves(rng, grow.daisy(rng, ray, 2, 0, 9), (3, 3, 0), 1.75)

    _scatter(
        repeat,
        rng,
        [
            (flower, 60, head),
            (flower * 0.5, 60, lambda _: _centred(grow.leaf(3, 3, 0.6))),
            (flower * 0.24, 90, lambda _: [(circle(0.8), 1)]),
        ],
        1.3,
    )
    return repeat


def blossom_twigs(rng: Generator) -> Repeat:
    """Return blossoms scattered on pale cloth: inks 1 petal, 2 blush, 3 edge, 4 heart, 5 leaf."""
    repeat = Repeat(260, 260, half_drop=True)
    _scatter(
        repeat,
        rng,
        [
            (27, 8, lambda _: _with_leaves(rng, grow.blossom(rng, 1, 2, 4, 3), (5, 3, 0), 1.4)),
            (15, 12, lambda _: grow.blossom(rng, 1, 2, 4, 3)),
            (10, 22, lambda _: _centred(grow.bud(2, 3, 5))),
            (5, 30, lambda _: [(grow.petal(1.0, 1.1, 0.1), 2)]),
        ],
        1.12,
    )
    return repeat


def clovers(rng: Generator) -> Repeat:
    """Return tone-on-tone clovers; inks 1 leaf, 2 chevron."""
    repeat = Repeat(230, 230, half_drop=True)
    _scatter(
        repeat,
        rng,
        [
            (26, 9, lambda _: grow.clover(rng, 1, 2)),
            (14, 14, lambda _: grow.clover(rng, 1, 2)),
            (4, 60, lambda _: [(circle(0.7), 1)]),
        ],
        1.05,
    )
    return repeat


def sprigs(rng: Generator, width: float = 58, height: float = 104) -> Repeat:
    """Return upright sprigs, staggered: inks 1 leaf, 2 rib, 3 flower, 4 heart."""
    repeat = Repeat(width * 4, height)
    for column in range(4):
        at = (width * (column + 0.5), height * (0.98 + 0.5 * column))
        drawing = grow.sprig(rng, 1, 2, 3, grow.daisy(rng, 3, 4, 0, 8))
        repeat.paint_at(
            drawing, at, degrees=rng.normal(0, 4), size=height * 0.58, mirror=column % 2 == 1
        )
        repeat.paint_at([(circle(2.2), 3)], (at[0], at[1] + height * 0.2))
    return repeat


def hips(rng: Generator) -> Repeat:
    """Return upright sprays of hips: inks 1 glint, 2 hip, 3 shade, 4 crown, 5 leaf, 6 stem."""
    width, height = 84, 184
    repeat = Repeat(width * 2, height, half_drop=False)
    for column in range(2):
        at = (width * (column + 0.5), height * (0.98 + 0.5 * column))
        drawing = grow.hip_spray(rng, (1, 2, 3, 4), 5, 6)
        repeat.paint_at(drawing, at, degrees=rng.normal(0, 4), size=165, mirror=column == 1)
    return repeat


def vine(rng: Generator) -> Repeat:
    """Return vines that climb the cloth side by side.

    Inks: 1 stem, 2 leaf, 3 rib, 4 bud, 5 leaf in shade.
    """
    width, height = 78, 210
    repeat = Repeat(width * 2, height)
    for column in range(2):
        middle, shift = width * (column + 0.5), height * 0.5 * column
        level = np.linspace(0, height, 13)
        sway = np.sin(level / height * 2 * np.pi) * width * 0.17
        stem = np.stack([middle + sway, level + shift], axis=1)
        repeat.paint([(stroke(path(stem, 6), 2.6), 1)])
        for k, (x, y) in enumerate(stem[:-1]):
            side = 1 if k % 2 else -1
            turn = side * (58 + rng.normal(0, 6))
            blade = grow.leaf(2, 3, 0.5, 0.14, 5)
            repeat.paint_at(
                blade, (x, y), degrees=turn, size=29 * rng.normal(1, 0.08), mirror=side < 0
            )
            if k % 3 == 1:
                repeat.paint_at(grow.bud(4, 3, 1), (x, y), degrees=-turn * 0.8, size=20)
    return repeat


def pears(rng: Generator) -> Repeat:
    """Return pears hanging from branches.

    Inks: 1 light, 2 body, 3 blush, 4 bark, 5 leaf, 6 rib, 7 leaf in shade.
    """
    width, height = 300, 330
    repeat = Repeat(width, height, half_drop=True)
    branch = path([(-20, 62), (70, 40), (150, 66), (230, 44), (280, 62)])
    repeat.paint([(stroke(branch, 8, 3.5), 4)])
    for share, turn in ((0.1, -20), (0.3, 24), (0.48, -28), (0.66, 18), (0.85, -14), (1.0, 60)):
        at = branch[int((len(branch) - 1) * share)]
        for spread in (0, 62, -58):
            blade = grow.leaf(5, 6, 0.44, 0.12, 7)
            repeat.paint_at(
                blade,
                at,
                degrees=turn + spread + rng.normal(0, 8),
                size=rng.uniform(40, 56),
                mirror=spread < 0,
            )
    for share, turn, size in ((0.24, 6, 122), (0.56, -7, 134), (0.88, 4, 112)):
        at = branch[int((len(branch) - 1) * share)]
        repeat.paint_at(
            grow.pear(rng, (1, 2, 3, 4)), at, degrees=turn, size=size, mirror=share > 0.5
        )
    _drift(repeat, rng)
    return repeat


def _drift(repeat: Repeat, rng: Generator) -> None:
    """Let a few leaves fall below the branch."""
    for x, y, turn in ((40, 262, 150), (138, 292, 205), (236, 250, 170), (92, 225, 120)):
        repeat.paint_at(
            grow.leaf(7, 6, 0.44, 0.12, 5), (x, y), degrees=turn + rng.normal(0, 8), size=36
        )
