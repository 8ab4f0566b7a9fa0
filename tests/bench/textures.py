"""Fabrics of made-up bundles, sRGB, 256 pixels square, in two families."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from PIL import Image

from palette.colour import lab_to_light
from tests.bench.tables import encoded, noise

if TYPE_CHECKING:
    from pathlib import Path


def texture(
    rng: np.random.Generator, *, testing: bool, photos: tuple[Path, ...] = ()
) -> np.ndarray:
    """Draw a fabric of either family; three in ten are pictures of real cloth, if there are any."""
    if photos and rng.random() < 0.3:
        with Image.open(photos[rng.integers(len(photos))]) as opened:
            shown = opened.convert("RGB")
        side = min(shown.size)
        return np.asarray(shown.crop((0, 0, side, side)).resize((256, 256), Image.LANCZOS))
    kinds = TEST_PRINTS if testing else TUNE_PRINTS
    dyes = np.clip(_dyes(rng), 0.01, 0.85)
    labels = kinds[rng.integers(len(kinds))](rng)
    light = dyes[labels % len(dyes)]
    weave = np.exp(0.02 * rng.normal(0, 1, (256, 256, 1)))
    return encoded(light * weave)


def _dyes(rng: np.random.Generator) -> np.ndarray:
    count = int(rng.integers(2, 5))
    lab = rng.uniform([15, -45, -45], [92, 50, 55], (count, 3))
    if rng.random() < 0.4:  # tone on tone
        lab = lab[0] + rng.normal(0, 5, lab.shape) * [1, 0.6, 0.6]
    return lab_to_light(lab)


def _places() -> tuple[np.ndarray, np.ndarray]:
    y, x = np.mgrid[0:256, 0:256] / 256
    return x, y


def _solid(_rng):
    return np.zeros((256, 256), dtype=int)


def _stripes(rng):
    x, y = _places()
    angle = rng.choice([0, np.pi / 2, rng.uniform(0, np.pi)])
    return ((x * np.cos(angle) + y * np.sin(angle)) * rng.uniform(6, 40) + 100).astype(int)


def _dots(rng):
    x, y = _places()
    pitch = 1 / rng.integers(5, 20)
    radius = np.hypot(x % pitch - pitch / 2, y % pitch - pitch / 2)
    return (radius < pitch * rng.uniform(0.2, 0.4)).astype(int)


def _blooms(rng):
    labels = np.zeros((256, 256), dtype=int)
    x, y = _places()
    size = rng.uniform(0.02, 0.07)
    for number in range(int(0.5 / (np.pi * size**2))):
        cx, cy = rng.random(2)
        dx = np.abs(x - cx)
        dy = np.abs(y - cy)
        radius = np.hypot(np.minimum(dx, 1 - dx), np.minimum(dy, 1 - dy))
        labels[radius < size] = 1 + number % 3
    return labels


def _gingham(rng):
    x, y = _places()
    pitch = 1 / rng.integers(6, 16)
    return (x % pitch < pitch / 2).astype(int) + (y % pitch < pitch / 2)


def _marbled(rng):
    return (2 * noise(rng, 256, 256, (0.06, 0.06)) + 50).astype(int)


def _zigzag(rng):
    x, y = _places()
    pitch = 1 / rng.integers(5, 12)
    return ((y + np.abs(x % pitch - pitch / 2)) * rng.uniform(8, 25)).astype(int)


def _leaves(rng):
    labels = np.zeros((256, 256), dtype=int)
    x, y = _places()
    size = rng.uniform(0.03, 0.08)
    for number in range(int(0.9 / size**2)):
        cx, cy, angle = rng.random(3) * [1, 1, np.pi]
        u = (x - cx) * np.cos(angle) + (y - cy) * np.sin(angle)
        v = (y - cy) * np.cos(angle) - (x - cx) * np.sin(angle)
        labels[(u / size) ** 2 + (3 * v / size) ** 2 < 1] = 1 + number % 3
    return labels


def _tiles(rng):
    x, y = _places()
    warp = np.sin(2 * np.pi * 4 * y) * 0.02
    number = rng.uniform(8, 18)
    return ((x + warp) * number).astype(int) + 2 * (y * number).astype(int)


TUNE_PRINTS = (_solid, _stripes, _dots, _blooms)
TEST_PRINTS = (_solid, _gingham, _marbled, _zigzag, _leaves, _tiles, _stripes)
