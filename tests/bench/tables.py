"""Tables that fabrics lie on in made-up photos, in two families.

Methods are tuned on one family; the other is kept for benchmarks.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from scipy.ndimage import gaussian_filter, zoom

from palette.colour import lab_to_light, light_to_srgb

if TYPE_CHECKING:
    from collections.abc import Callable

TUNING = ("plank", "plain", "tablecloth")
TESTING = ("parquet", "stone", "felt", "mat", "oak", "check")
"""Kinds of tables in the two families."""


def encoded(light: np.ndarray) -> np.ndarray:
    """Encode light as sRGB codes."""
    return np.round(255 * light_to_srgb(light)).astype(np.uint8)


def _table(light: np.ndarray, grain: np.ndarray) -> np.ndarray:
    return encoded(np.clip(light * np.exp(grain)[..., None], 0, 1))


def _tone(rng: np.random.Generator, kind: str) -> np.ndarray:
    lab = {
        "wood": [rng.uniform(35, 75), rng.uniform(6, 16), rng.uniform(14, 30)],
        "pale": [rng.uniform(75, 92), rng.uniform(-2, 3), rng.uniform(-3, 8)],
        "any": [rng.uniform(25, 85), rng.uniform(-30, 30), rng.uniform(-30, 30)],
    }[kind]
    return np.clip(lab_to_light(np.array(lab)), 0.01, 0.95)


def noise(rng: np.random.Generator, height: int, width: int, sigma: tuple[float, float]):
    """Smooth noise of unit deviation; correlation lengths down and across, parts of the width."""
    grown = [max(1.0, s * width / 3) for s in sigma]
    small = [max(4, round(height / grown[0])), max(4, round(width / grown[1]))]
    field = gaussian_filter(rng.normal(0, 1, small), 1)
    field = zoom(field, (height / small[0], width / small[1]), order=1)
    field = field[:height, :width]
    return field / field.std()


def _plank(rng, height, width):
    grain = 0.1 * noise(rng, height, width, (0.002, 0.2)) + 0.06 * noise(
        rng, height, width, (0.02, 0.4)
    )
    board = height / rng.integers(3, 8)
    tint = rng.normal(0, 0.1, 10)[(np.arange(height) / board).astype(int)]
    seam = (np.arange(height) % board < 0.0025 * width) * -0.8
    return _table(_tone(rng, "wood"), grain + (tint + seam)[:, None])


def _oak(rng, height, width):
    y = np.mgrid[0:height, 0:width][0] / width
    warp = 0.02 * noise(rng, height, width, (0.1, 0.5))
    rings = np.sin(2 * np.pi * (y + warp) * rng.uniform(15, 40))
    grain = 0.07 * rings + 0.05 * noise(rng, height, width, (0.001, 0.05))
    return _table(_tone(rng, "wood"), grain)


def _parquet(rng, height, width):
    y, x = np.mgrid[0:height, 0:width] / width
    tile = rng.uniform(0.1, 0.2)
    across = (np.floor(x / tile) + np.floor(y / tile)) % 2 == 0
    slat = np.floor(np.where(across, y, x) / tile * 5).astype(int)
    place = (np.floor(x / tile) * 31 + np.floor(y / tile) * 57).astype(int)
    tint = rng.normal(0, 0.09, 997)[(slat * 13 + place) % 997]
    return _table(_tone(rng, "wood"), tint + 0.05 * noise(rng, height, width, (0.002, 0.002)))


def _plain(rng, height, width):
    return _table(_tone(rng, "pale"), 0.01 * rng.normal(0, 1, (height, width)))


def _felt(rng, height, width):
    return _table(_tone(rng, "any"), 0.05 * noise(rng, height, width, (0.002, 0.002)))


def _stone(rng, height, width):
    speck = 0.12 * noise(rng, height, width, (0.004, 0.004))
    return _table(_tone(rng, "pale") * 0.7, speck + 0.1 * noise(rng, height, width, (0.06, 0.06)))


def _mat(rng, height, width):
    y, x = np.mgrid[0:height, 0:width] / width
    cloth = _table(_tone(rng, "any") * 0.6, 0.02 * rng.normal(0, 1, (height, width)))
    pitch = rng.uniform(0.03, 0.06)
    lines = (x % pitch < 0.0012) | (y % pitch < 0.0012)
    cloth[lines] = 200
    return cloth


def _tablecloth(rng, height, width):
    y, x = np.mgrid[0:height, 0:width] / width
    weave = 0.04 * np.sin(2 * np.pi * 150 * x) * np.sin(2 * np.pi * 150 * y)
    folds = 0.05 * noise(rng, height, width, (0.3, 0.05))
    return _table(_tone(rng, "any"), weave + folds)


def _check(rng, height, width):
    y, x = np.mgrid[0:height, 0:width] / width
    pitch = rng.uniform(0.03, 0.08)
    depth = ((x % pitch < pitch / 2).astype(int) + (y % pitch < pitch / 2)) / 2
    light = 0.8 + depth[..., None] * (_tone(rng, "any") - 0.8)
    return encoded(light * np.exp(0.02 * rng.normal(0, 1, (height, width, 1))))


TABLES: dict[str, Callable[..., np.ndarray]] = {
    "plank": _plank,
    "plain": _plain,
    "tablecloth": _tablecloth,
    "oak": _oak,
    "parquet": _parquet,
    "felt": _felt,
    "stone": _stone,
    "mat": _mat,
    "check": _check,
}
