"""Photos of cloth with a sheet of white paper on it, in light that falls off unevenly."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter

from palette.colour import lab_to_light
from palette.photo.box import Box
from tests.bench import prints

PAPER_LAB = (95.0, 0.0, 0.0)
_WIDTH, _HEIGHT = 900, 675


@dataclass(frozen=True)
class Scene:
    """A photo and the truth about it."""

    jpeg: bytes
    """The photo."""
    drawn: prints.Print
    """The cloth in it."""
    paper: Box
    """Around the paper."""
    marked: Box
    """A small place within the paper, as a finger marks it."""


def scene(
    kind: str, rng: np.random.Generator, *, fall: float = 0.2, tint: float = 0.0, stops: float = 0.0
) -> Scene:
    """Photograph a print with paper on it.

    The light falls off as from a small window: with the square of the distance,
    which is no quadratic of its logarithm. It is as warm as `tint` says (0 for
    daylight, 0.3 for a lamp) and over-exposed by `stops`.
    """
    drawn = prints.draw(kind, rng, _WIDTH, _HEIGHT, rng.uniform(14, 60))
    y, x = np.mgrid[0:_HEIGHT, 0:_WIDTH]
    half = np.array([rng.uniform(0.05, 0.13) * _WIDTH, rng.uniform(0.05, 0.13) * _WIDTH])
    reach = np.hypot(*half)
    across = rng.uniform(reach, 0.36 * _WIDTH - reach) if rng.random() < 0.5 else 0
    centre = np.array([across or _WIDTH - reach - 8, rng.uniform(reach, _HEIGHT - reach)])
    turn = np.radians(rng.uniform(-12, 12))
    u = (x - centre[0]) * np.cos(turn) + (y - centre[1]) * np.sin(turn)
    v = (y - centre[1]) * np.cos(turn) - (x - centre[0]) * np.sin(turn)
    paper = (np.abs(u) < half[0]) & (np.abs(v) < half[1])
    light = np.where(paper[..., None], lab_to_light(np.array(PAPER_LAB)), drawn.light)
    # Shade along one edge of the paper, which lies a little above the cloth.
    shade = ~paper & (np.abs(u - 4) < half[0] + 3) & (np.abs(v - 4) < half[1] + 3)
    light = np.where(shade[..., None], 0.6 * light, light)
    light = light * (window(rng, fall, _HEIGHT, _WIDTH) * 2**stops * 0.8)[..., None]
    light = light * [1 + tint, 1.0, 1 / (1 + 2 * tint)]
    light = np.maximum(gaussian_filter(light, (0.7, 0.7, 0)), 0)
    light = light + rng.normal(0, 1, light.shape) * np.sqrt(1e-5 + 3e-4 * light)
    rows, columns = np.flatnonzero(paper.any(axis=1)), np.flatnonzero(paper.any(axis=0))
    size = (_WIDTH, _HEIGHT, _WIDTH, _HEIGHT)
    edges = np.array([columns[0], rows[0], columns[-1] + 1, rows[-1] + 1]) / size
    marked = Box.around(centre[0] / _WIDTH, centre[1] / _HEIGHT, 0.02)
    return Scene(prints.jpeg(light, 88), drawn, Box(*edges.tolist()), marked)


def window(rng: np.random.Generator, fall: float, height: int, width: int) -> np.ndarray:
    """Light from a small window beside the table: mean 1, `fall` lost along the longer side."""
    y, x = np.mgrid[0:height, 0:width] / width
    angle = rng.uniform(0, 2 * np.pi)
    away = 1 / (np.sqrt(1 / max(1 - fall, 0.01)) - 1) if fall else 1e6
    source = np.array([0.5, 0.5 * height / width]) + (away + 0.5) * np.array(
        [np.cos(angle), np.sin(angle)]
    )
    strength = 1 / ((x - source[0]) ** 2 + (y - source[1]) ** 2)
    return strength / strength.mean()
