"""A phone above a table by a window: how cloth lies, is lit and is recorded."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from scipy.ndimage import gaussian_filter, zoom

from demo_swatches.weave import Cloth, Plane, colour_of

if TYPE_CHECKING:
    from numpy.random import Generator
    from numpy.typing import NDArray

_OVER = 2
"""Samples to a pixel, each way."""
_SHOULDER = 0.75
"""Linear light from which on highlights are held back."""


@dataclass(frozen=True, slots=True)
class Shot:
    """One photo: frame, how askew the cloth lies, where the light comes from."""

    seed: int
    """Of everything that is left to chance."""
    width: int = 940
    """Of the upright picture, in pixels."""
    height: int = 940
    """Of the upright picture, in pixels."""
    tilt: float = 1.5
    """The cloth is turned by this, in degrees."""
    window: float = 160.0
    """Direction of the window as seen in the picture: 0 right, 90 below, 180 left, 270 above."""
    fall: float = 0.3
    """How much of the light is lost from the window's side to the other, 0 to 1."""
    waves: float = 1.0
    """How restless the cloth lies; 1 is smoothed by hand."""
    crease: float = 0.0
    """Strength of the creases left from folding; 0 is ironed."""


def photograph(cloth: Cloth, shot: Shot) -> NDArray[np.uint8]:
    """Return the upright picture of a cloth, shape (height, width, 3)."""
    rng = np.random.default_rng(shot.seed)
    height_map = _waves(rng, shot)
    slope_y, slope_x = np.gradient(height_map)
    x, y = _lie(rng, shot, slope_x, slope_y)
    light = _light(rng, shot, slope_x, slope_y)
    return _record(colour_of(cloth, x, y, rng), light, rng)


def _grid(shot: Shot) -> tuple[Plane, Plane]:
    """Return coordinates of all samples in pixels from the picture's middle."""
    x = (np.arange(shot.width * _OVER, dtype="f4") + 0.5) / _OVER - shot.width / 2
    y = (np.arange(shot.height * _OVER, dtype="f4") + 0.5) / _OVER - shot.height / 2
    return np.meshgrid(x, y)


def _smooth(rng: Generator, shot: Shot, across: float) -> Plane:
    """Return noise whose hills are about so many pixels across, spread 1, at sample size."""
    step = 20
    size = shot.height // step + 3, shot.width // step + 3
    field = gaussian_filter(rng.normal(0, 1, size), across / step / 2, mode="reflect")
    scale = step * _OVER
    wide = zoom(field / field.std(), scale, order=3, grid_mode=True, mode="nearest")
    return wide[: shot.height * _OVER, : shot.width * _OVER].astype("f4")


def _waves(rng: Generator, shot: Shot) -> Plane:
    """Return the height of the cloth above the table, in pixels."""
    hills = _smooth(rng, shot, 380) * 16 + _smooth(rng, shot, 150) * 2.2
    return hills * shot.waves + shot.crease * _creases(rng, shot)


def _creases(rng: Generator, shot: Shot) -> Plane:
    """Return the two soft ridges where the cloth had been folded."""
    x, y = _grid(shot)
    at = rng.uniform(-0.25, 0.25, 2)
    upright = x - at[0] * shot.width + np.radians(shot.tilt) * y
    level = y - at[1] * shot.height - np.radians(shot.tilt) * x
    return 2.6 * np.exp(-((upright / 9) ** 2)) - 2.2 * np.exp(-((level / 8) ** 2))


def _lie(rng: Generator, shot: Shot, slope_x: Plane, slope_y: Plane) -> tuple[Plane, Plane]:
    """Return the point of the cloth that each sample sees."""
    x, y = _grid(shot)
    lean = rng.normal(0, 0.012, 2) / max(shot.width, shot.height)
    depth = 1 + lean[0] * x + lean[1] * y
    c, s = np.cos(np.radians(shot.tilt)), np.sin(np.radians(shot.tilt))
    sway = _smooth(rng, shot, 500) * 2.2, _smooth(rng, shot, 500) * 2.2
    start = rng.uniform(2000, 3000, 2)
    flat_x = (c * x + s * y) / depth + sway[0] + slope_x * 8 + start[0]
    flat_y = (c * y - s * x) / depth + sway[1] + slope_y * 8 + start[1]
    return flat_x.astype("f4"), flat_y.astype("f4")


def _light(rng: Generator, shot: Shot, slope_x: Plane, slope_y: Plane) -> NDArray[np.float32]:
    """Return the light on each sample per channel, about 1 on average."""
    x, y = _grid(shot)
    to_window = np.cos(np.radians(shot.window)), np.sin(np.radians(shot.window))
    near = (x * to_window[0] + y * to_window[1]) / max(shot.width, shot.height)
    falling = np.exp(near * -np.log(1 - shot.fall)) * (1 + 0.02 * _smooth(rng, shot, 600))
    facing = 1 - 1.5 * (slope_x * to_window[0] + slope_y * to_window[1])
    cool = np.stack([1 - 0.035 * near, np.ones_like(near), 1 + 0.05 * near], axis=-1)
    cast = 1 + rng.normal(0, [0.008, 0.0, 0.012])
    level = falling / falling.mean() * np.clip(facing, 0.5, 1.4)
    return (level[..., None] * cool * cast * rng.normal(0.99, 0.015)).astype("f4")


def _record(
    colour: NDArray[np.float32], light: NDArray[np.float32], rng: Generator
) -> NDArray[np.uint8]:
    """Blur, add the sensor's noise, and encode for the screen."""
    samples = colour * light
    high, wide = samples.shape[0] // _OVER, samples.shape[1] // _OVER
    seen = samples.reshape(high, _OVER, wide, _OVER, 3).mean(axis=(1, 3))
    seen = _held(gaussian_filter(seen, (0.55, 0.55, 0)))
    grain = gaussian_filter(rng.normal(0, 1, seen.shape), (0.6, 0.6, 0)) * 1.8
    seen = np.clip(seen + grain * np.sqrt(0.00004 * np.clip(seen, 0, 1) + 0.000001), 0, 1)
    code = np.where(seen <= 0.0031308, seen * 12.92, 1.055 * seen ** (1 / 2.4) - 0.055)
    return np.round(code * 255).astype(np.uint8)


def _held(light: NDArray[np.float32]) -> NDArray[np.float32]:
    """Bend the brightest light down towards 1, as a phone does so that white keeps its threads."""
    above = np.maximum(light - _SHOULDER, 0) / (1 - _SHOULDER)
    return np.minimum(light, _SHOULDER) + (1 - _SHOULDER) * np.tanh(above)
