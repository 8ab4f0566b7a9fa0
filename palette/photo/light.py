"""Evening light that falls off across a photo.

Window light is stronger on one side of a cloth than on the other. Two pixels
of one dye differ in lightness only by that, so pairs of pixels with the same
chromaticity, some way apart, tell how the light falls, whatever the print.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from palette.colour import Floats

_ACROSS = 60
"""Points looked at along the longer side."""
_LAGS = (1 / 16, 1 / 8, 1 / 4, 3 / 8)
"""How far apart the pixels of a pair are, parts of the longer side."""
_TURNS = ((1, 0), (0, 1), (1, 1), (1, -1))
_LIKE = 0.02
"""Largest difference in chromaticity within a pair of one dye."""
_STEEPEST = 1.6
"""Steepest fall looked for: natural logarithm of light across the longer side."""
_FEWEST_PAIRS = 200
_DARKEST = 1e-4
"""Light below this is noise."""
_PARTS = 6
_WORSE = 1.5
"""A field is wrong if the parts of the photo differ this much more without it."""
_ROUNDS = 6


def falling_light(light: Floats, counts: NDArray[np.bool_]) -> Floats:
    """Estimate how strongly each pixel is lit, as a smooth field with mean 1.

    The logarithm of the field is a quadratic in both directions, fitted to
    pairs of like chromaticity by iteratively reweighted least squares with
    Tukey's biweight (Beaton & Tukey 1974), so pairs of two dyes that share a
    chromaticity lose their say.

    Parameters
    ----------
    light : Floats
        Linear light, shape (height, width, 3).
    counts : NDArray[np.bool_]
        Which pixels belong to the cloth, shape (height, width).

    Returns
    -------
    Floats
        Shape (height, width), above 0; 1 everywhere when too few pairs are alike,
        or when the photo would be less even for it.
    """
    height, width = counts.shape
    step = max(1, round(max(height, width) / _ACROSS))
    rows, changes = _pairs(light[::step, ::step], counts[::step, ::step], step, (height, width))
    if len(changes) < _FEWEST_PAIRS:
        return np.ones((height, width))
    field = np.exp(_basis(height, width) @ _fit(rows, changes))
    level = np.log(np.maximum(light, _DARKEST) @ np.ones(3))
    if _unevenness(level - np.log(field), counts) > _WORSE * _unevenness(level, counts):
        return np.ones((height, width))
    return np.asarray(field / field[counts].mean())


def _unevenness(level: Floats, counts: NDArray[np.bool_]) -> float:
    """Variance of the mean level among the parts of a photo, _PARTS by _PARTS."""
    height, width = level.shape
    rows, columns = np.arange(height) * _PARTS // height, np.arange(width) * _PARTS // width
    part = (rows[:, None] * _PARTS + columns)[counts]
    number = np.bincount(part)
    total = np.bincount(part, level[counts])
    return float((total[number > 0] / number[number > 0]).var())


def _basis(height: int, width: int, step: int = 1) -> Floats:
    """Terms of the quadratic at every step-th pixel, shape (h, w, 5); longer side spans 1."""
    longer = max(height, width)
    y = (np.arange(0, height, step) - height / 2) / longer
    x = (np.arange(0, width, step) - width / 2) / longer
    y, x = np.broadcast_arrays(y[:, None], x[None, :])
    return np.stack([x, y, x * x, x * y, y * y], axis=-1)


def _pairs(
    light: Floats, counts: NDArray[np.bool_], step: int, size: tuple[int, int]
) -> tuple[Floats, Floats]:
    """Differences in the basis and in log light of all pairs of like chromaticity."""
    total = np.maximum(light, _DARKEST) @ np.ones(3)
    red, green = light[..., 0] / total, light[..., 1] / total
    level = np.log(total)
    basis = _basis(*size, step)
    rows, changes = [], []
    for part in _LAGS:
        lag = max(1, round(part * max(size) / step))
        for right, down in _TURNS:
            first, second = _shifted(counts.shape, right * lag, down * lag)
            change = level[second] - level[first]
            like = np.abs(red[second] - red[first]) < _LIKE
            like &= np.abs(green[second] - green[first]) < _LIKE
            like &= np.abs(change) < _STEEPEST * part
            like &= counts[first] & counts[second]
            rows.append((basis[second] - basis[first])[like])
            changes.append(change[like])
    return np.concatenate(rows), np.concatenate(changes)


def _shifted(
    shape: tuple[int, ...], right: int, down: int
) -> tuple[tuple[slice, slice], tuple[slice, slice]]:
    """Slices of an array and of the same array shifted; `right` may not be negative."""
    height, width = shape
    upper, lower = slice(0, max(height - abs(down), 0)), slice(abs(down), None)
    left, far = slice(0, max(width - right, 0)), slice(right, None)
    return ((upper, left), (lower, far)) if down >= 0 else ((lower, left), (upper, far))


def _fit(rows: Floats, changes: Floats) -> Floats:
    """Coefficients of the field, shape (5,)."""
    weights: Floats = np.ones(len(changes))
    ridge = 1e-4 * len(changes) * np.diag([0.01, 0.01, 1.0, 1.0, 1.0])
    coefficients: Floats = np.zeros(5)
    for _ in range(_ROUNDS):
        weighted = rows * weights[:, None]
        normal = weighted.T @ rows + ridge
        coefficients = np.asarray(np.linalg.solve(normal, weighted.T @ changes), np.float64)
        residual = changes - rows @ coefficients
        reach = 4.685 * 1.4826 * np.median(np.abs(residual)) + 1e-6
        weights = np.square(np.maximum(1 - np.square(residual / reach), 0))
    return coefficients
