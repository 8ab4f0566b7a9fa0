"""Made-up prints with known colours, and a made-up camera to photograph them.

A print is drawn as a map of which dye lies where, at twice the size of the
photo, so its true shares and its true mean are counted, not estimated.
"""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np
from PIL import Image
from scipy.ndimage import gaussian_filter

from palette.colour import difference, lab_to_light, light_to_lab, light_to_srgb

KINDS = ("solid", "stripes", "dots", "floral", "plaid", "check", "tone on tone")


@dataclass(frozen=True)
class Print:
    """A print and the truth about it."""

    kind: str
    """One of KINDS."""
    dyes: np.ndarray
    """True Lab colours, shape (n, 3)."""
    shares: np.ndarray
    """True share of each, shape (n,)."""
    light: np.ndarray
    """Light of every pixel, shape (height, width, 3)."""

    @property
    def reads_as(self) -> np.ndarray:
        """True mean in linear light, as Lab."""
        return light_to_lab(self.light.mean(axis=(0, 1)))


def draw(kind: str, rng: np.random.Generator, width: int, height: int, feature: float) -> Print:
    """Draw a print whose features are about `feature` pixels wide."""
    count = {"solid": 1, "plaid": 4, "check": 3, "tone on tone": 2}.get(kind)
    dyes = _dyes(rng, count or int(rng.integers(2, 5)), kind)
    y, x = np.mgrid[0 : 2 * height, 0 : 2 * width].astype(np.float32)
    step = 2 * feature
    labels = _DRAW[kind](rng, x + step * rng.random(), y + step * rng.random(), step, len(dyes))
    dyes = dyes[: labels.max() + 1]
    lights = lab_to_light(dyes)
    shares = np.bincount(labels.ravel(), minlength=len(dyes)) / labels.size
    cover = np.stack([_halved(labels == dye) for dye in range(len(dyes))], axis=-1)
    return Print(kind, dyes[shares > 0], shares[shares > 0], cover @ lights)


def falling(rng: np.random.Generator, height: int, width: int, fall: float) -> np.ndarray:
    """How strongly each pixel is lit, mean 1, falling by `fall` in some direction."""
    y, x = np.mgrid[-0.5 : 0.5 : height * 1j, -0.5 : 0.5 : width * 1j]
    angle = rng.uniform(0, 2 * np.pi)
    along = x * np.cos(angle) + y * np.sin(angle)
    field = np.exp(np.log1p(-fall) * (along + rng.uniform(-0.6, 0.6) * along**2))
    return field / field.mean()


def photograph(
    drawn: Print, rng: np.random.Generator, *, fall: float = 0.25, blur: float = 0.6
) -> np.ndarray:
    """Light as a camera sees it: falling by `fall`, blurred, with shot noise; shape as drawn."""
    light = drawn.light * falling(rng, *drawn.light.shape[:2], fall)[..., None]
    light = np.maximum(gaussian_filter(light, (blur, blur, 0)), 0)
    return light + rng.normal(0, 1, light.shape) * np.sqrt(1e-5 + 4e-4 * light)


def jpeg(light: np.ndarray, quality: int = 85, **options: object) -> bytes:
    """Encode light as a JPEG."""
    out = io.BytesIO()
    image(light).save(out, "JPEG", quality=quality, **options)
    return out.getvalue()


def image(light: np.ndarray) -> Image.Image:
    """Turn light into an 8-bit sRGB image."""
    return Image.fromarray(np.round(255 * light_to_srgb(light)).astype(np.uint8))


def _halved(part: np.ndarray) -> np.ndarray:
    """Share of each two by two pixels that belongs to a part."""
    quarters = (part[row::2, column::2] for row in range(2) for column in range(2))
    return sum(quarter.astype(np.float64) for quarter in quarters) / 4


def _dyes(rng: np.random.Generator, count: int, kind: str) -> np.ndarray:
    """Random colours inside sRGB, all at least 10 apart, or 6 to 12 for tone on tone."""
    least, most = (6, 12) if kind == "tone on tone" else (10, 200)
    while True:
        dyes = light_to_lab(rng.uniform(0.03, 0.9, 3) ** 2 * np.ones((count, 3)))
        dyes += rng.normal(0, 1, dyes.shape) * ([6, 4, 4] if most < 200 else [22, 28, 28])
        light = lab_to_light(dyes)
        between = difference(dyes[:, None], dyes[None]) + 100 * np.eye(count)
        apart = count == 1 or (between.min() >= least and between.min() <= most)
        if apart and light.min() > 0.012 and light.max() < 0.8:
            return dyes


def _turned(rng, x, y):
    angle = rng.uniform(0, np.pi)
    return x * np.cos(angle) + y * np.sin(angle), y * np.cos(angle) - x * np.sin(angle)


def _solid(_rng, x, _y, _step, _count):
    return np.zeros(x.shape, dtype=np.int64)


def _stripes(rng, x, y, step, count):
    along, _ = _turned(rng, x, y)
    widths = step * rng.uniform(0.7, 1.6, count)
    return np.searchsorted(np.cumsum(widths), along % widths.sum() * 0.999999)


def _dots(rng, x, y, step, count):
    along, across = _turned(rng, x, y)
    pitch = step * rng.uniform(1.6, 2.4)
    row = np.floor(across / pitch)
    shifted = along + (row % 2) * pitch / 2
    column = np.floor(shifted / pitch)
    radius = np.hypot(shifted % pitch - pitch / 2, across % pitch - pitch / 2)
    dye = 1 + (row + 2 * column).astype(np.int64) % max(count - 1, 1)
    return np.where(radius < step / 2, dye, 0)


def _floral(rng, x, y, step, count):
    labels = np.zeros(x.shape, dtype=np.int64)
    height, width = x.shape
    flowers = int(0.35 * height * width / (np.pi * (0.9 * step) ** 2)) + 1
    for number in range(min(flowers, 400)):
        cx, cy = rng.uniform(0, width), rng.uniform(0, height)
        reach = int(2 * step) + 2
        rows = slice(max(int(cy) - reach, 0), int(cy) + reach)
        columns = slice(max(int(cx) - reach, 0), int(cx) + reach)
        dx, dy = x[rows, columns] - x[0, 0] - cx, y[rows, columns] - y[0, 0] - cy
        radius = np.hypot(dx, dy)
        petal = step * (0.9 + 0.35 * np.cos(5 * np.arctan2(dy, dx) + cx))
        part = labels[rows, columns]
        part[radius < petal] = 1 + number % max(count - 2, 1)
        if count > 2:
            part[radius < 0.45 * step] = count - 1
    return labels


def _plaid(_rng, x, y, step, _count):
    bands = np.array([0, 0, 0, 1, 0, 0, 2, 2])
    across = bands[np.floor(x / step).astype(np.int64) % len(bands)]
    down = bands[np.floor(y / step).astype(np.int64) % len(bands)]
    return np.where((across > 0) & (down > 0), 3, np.maximum(across, down))


def _check(_rng, x, y, step, _count):
    return (np.floor(x / step).astype(np.int64) % 2) + (np.floor(y / step).astype(np.int64) % 2)


def _tone_on_tone(rng, x, y, step, _count):
    return _dots(rng, x, y, step, 2)


_DRAW = {
    "solid": _solid,
    "stripes": _stripes,
    "dots": _dots,
    "floral": _floral,
    "plaid": _plaid,
    "check": _check,
    "tone on tone": _tone_on_tone,
}
