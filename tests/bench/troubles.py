"""What makes the photo of a bundle hard: a hard shadow, a reflection, fabrics that are cut off."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image, ImageDraw
from scipy.ndimage import gaussian_filter

from tests.bench.scenes import developed

if TYPE_CHECKING:
    from collections.abc import Callable

    from tests.bench.scenes import Scene

_SHOWS = (0.35, 0.7)
"""Part of the outermost fabrics that is left inside the photo."""


def troubled(made: Scene, what: str, seed: int) -> Scene:
    """Return a scene with one of TROUBLES."""
    rng = np.random.default_rng([7, [*TROUBLES].index(what), seed])
    return TROUBLES[what](made, rng)


def _shadow(made: Scene, rng: np.random.Generator) -> Scene:
    """Throw the hard shadow of somebody's head and arm, who stands between lamp and table."""
    height, width = made.labels.shape
    mask = Image.new("L", (width, height))
    draw = ImageDraw.Draw(mask)
    x, reach = rng.uniform(0.2, 0.8) * width, rng.uniform(0.25, 0.5) * height
    broad = rng.uniform(0.09, 0.14) * width
    draw.ellipse((x - broad, height - reach, x + broad, height + reach), fill=255)
    side = rng.choice([-1, 1])
    hand = (x + side * rng.uniform(0.25, 0.4) * width, height * rng.uniform(0.35, 0.6))
    draw.line([(x, height), hand], fill=255, width=round(0.05 * width))
    draw.ellipse((hand[0] - 0.04 * width, hand[1] - 0.04 * width, *np.add(hand, 0.04 * width)),
                 fill=255)  # fmt: skip
    soft = gaussian_filter(np.asarray(mask, np.float64) / 255, rng.uniform(2, 6))
    light = made.light * (1 - rng.uniform(0.35, 0.6) * soft)[..., None]
    return replace(made, jpeg=developed(rng, light), light=light)


def _reflection(made: Scene, rng: np.random.Generator) -> Scene:
    """Let a window be seen in a table that shines; cloth does not."""
    height, width = made.labels.shape
    mask = Image.new("L", (width, height))
    corner = rng.uniform([0, 0], [0.6 * width, 0.5 * height])
    sides = rng.uniform([0.15 * width, 0.2 * height], [0.35 * width, 0.5 * height])
    lean = rng.uniform(-0.06, 0.06) * width
    (left, top), (right, bottom) = corner, corner + sides
    draw = ImageDraw.Draw(mask)
    draw.polygon([(left + lean, top), (right + lean, top), (right, bottom), (left, bottom)], 255)
    veil = gaussian_filter(np.asarray(mask, np.float64) / 255, rng.uniform(3, 8))
    bare = gaussian_filter((made.labels < 0).astype(np.float64), 0.8)
    light = made.light + (rng.uniform(0.15, 0.5) * veil * bare)[..., None] * [0.93, 1.0, 1.08]
    return replace(made, jpeg=developed(rng, light), light=light)


def _cut(made: Scene, rng: np.random.Generator) -> Scene:
    """Move the photo's edge through the outermost fabrics at one or two of its sides."""
    whole = np.bincount(made.labels.ravel() + 1, minlength=made.count + 1)[1:]
    labels, light = made.labels, made.light
    for side in rng.permutation(4)[: rng.integers(1, 3)]:
        labels, light = (np.rot90(field, side) for field in (labels, light))
        rows = np.flatnonzero((labels >= 0).any(axis=1))
        first = labels[rows[0] : rows[0] + 3]
        outer = np.flatnonzero((labels == first[first >= 0][0]).any(axis=1))
        edge = round(outer[0] + (1 - rng.uniform(*_SHOWS)) * len(outer))
        labels, light = (np.rot90(field[edge:], -side) for field in (labels, light))
    left = np.bincount(labels.ravel() + 1, minlength=made.count + 1)[1:]
    # Slivers and what is gone: no fabric can be asked for there.
    order = np.flatnonzero(left >= 0.15 * whole)
    number = np.full(made.count + 1, -1)
    number[order + 1] = np.arange(len(order))
    cut = frozenset(number[1:][(left < 0.97 * whole)].tolist()) - {-1}
    light = np.ascontiguousarray(light)
    return replace(
        made,
        jpeg=developed(rng, light),
        light=light,
        labels=number[labels + 1],
        count=len(order),
        cut=cut,
    )


TROUBLES: dict[str, Callable[[Scene, np.random.Generator], Scene]] = {
    "shadow": _shadow,
    "reflection": _reflection,
    "cut": _cut,
}
