"""Made-up phone photos of one fabric on a table, from pictures of real cloth, and the truth.

The cloth fills 72 to 86 % of the frame, turned by up to 6 degrees and seen under
a slight slant; the light falls off by up to 35 %.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from PIL import Image
from scipy.ndimage import gaussian_filter

from palette.colour import difference, light_to_lab, srgb_to_light
from tests.bench.scenes import filled, projection
from tests.bench.tables import TABLES, encoded

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

WIDTH, HEIGHT = 1600, 1200
LEAST_APART = 8.0
"""CIEDE2000 between table and cloth, below which nobody could tell them apart by colour."""


@dataclass(frozen=True)
class PhonePhoto:
    """A photo and the truth about it."""

    jpeg: bytes
    """The photo."""
    lab: np.ndarray
    """What the cloth alone reads as in this photo, shape (3,)."""
    cloth: np.ndarray
    """Which pixels show the cloth, shape (height, width)."""
    source: str
    """The picture of the cloth."""
    table: str
    """Kind of table."""


def phone_photos(pictures: list[Path], count: int, seed: int = 1) -> Iterator[PhonePhoto]:
    """Yield photos, each of another picture of cloth."""
    rng = np.random.default_rng(seed)
    order = rng.permutation(len(pictures))
    for number in range(count):
        yield _photo(rng, pictures[order[number % len(order)]])


def _photo(rng: np.random.Generator, picture: Path) -> PhonePhoto:
    with Image.open(picture) as opened:
        cloth = opened.convert("RGB")
    cloth = cloth.crop((0, 0, cloth.width, cloth.height - 4))
    seen_cloth = light_to_lab(srgb_to_light(np.asarray(cloth) / 255).mean(axis=(0, 1)))
    while True:
        kind = str(rng.choice([*TABLES]))
        table = TABLES[kind](rng, HEIGHT, WIDTH)
        mean = light_to_lab(srgb_to_light(table / 255).mean(axis=(0, 1)))
        if difference(seen_cloth, mean) >= LEAST_APART:
            break
    corners = _corners(rng)
    matrix = projection(corners, cloth.width, cloth.height)
    size = (WIDTH, HEIGHT)
    warped = cloth.transform(size, Image.Transform.PERSPECTIVE, matrix, Image.Resampling.BICUBIC)
    mask = filled(corners, size)
    under = srgb_to_light(table / 255)
    part = np.asarray(mask, dtype=np.float64)[..., None] / 255
    shadow = gaussian_filter(np.roll(part[..., 0], (6, 6), (0, 1)), 8)[..., None]
    light = under * (1 - 0.4 * shadow) * (1 - part) + srgb_to_light(np.asarray(warped) / 255) * part
    light = light * _falling(rng)[..., None]
    light *= min(1.0, 0.95 / np.percentile(light, 99.9))
    shows = part[..., 0] > 0.99
    lab = light_to_lab(light[shows].mean(axis=0))
    noisy = np.maximum(gaussian_filter(light, (0.7, 0.7, 0)), 0)
    noisy = noisy + rng.normal(0, 1, noisy.shape) * np.sqrt(1e-5 + 3e-4 * noisy)
    out = io.BytesIO()
    Image.fromarray(encoded(noisy)).save(out, "JPEG", quality=90)
    return PhonePhoto(out.getvalue(), lab, shows, picture.name, kind)


def _corners(rng: np.random.Generator) -> np.ndarray:
    """Return four corners in pixels, from the upper left clockwise."""
    share = rng.uniform(0.72, 0.86)
    sides = np.sqrt(share) * np.array([WIDTH, HEIGHT])
    turn = np.radians(rng.uniform(-6, 6))
    square = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) / 2 * sides
    rotate = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    flat = square @ rotate.T
    slant = rng.uniform(-0.06, 0.06, 2)
    depth = 1 + flat @ (slant / np.array([WIDTH, HEIGHT]))
    return flat / depth[:, None] + np.array([WIDTH, HEIGHT]) / 2 + rng.uniform(-25, 25, 2)


def _falling(rng: np.random.Generator) -> np.ndarray:
    y, x = np.mgrid[-0.5 : 0.5 : HEIGHT * 1j, -0.5 : 0.5 : WIDTH * 1j]
    angle = rng.uniform(0, 2 * np.pi)
    across = x * np.cos(angle) + y * np.sin(angle)
    return np.asarray(1 - rng.uniform(0.1, 0.35) * (across + 0.7) / 1.4)
