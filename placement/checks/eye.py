"""Independent measures of what the eye sees in a layout, beside layouts drawn at random.

Nothing here knows what layouts are made good by. Each measure is a number that is 0 or
small where nothing strikes the eye; how many random layouts of the same fabrics are worse
says whether it is small.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import product

import numpy as np
from numpy.typing import NDArray

from placement.checks.lattice import pieced, side
from placement.top.setting.setting import Setting

Floats = NDArray[np.float64]

_NEAR = 1.0
"""Width of the blur of somebody who stands before the quilt, in block sides."""
_FAR = 0.15
"""The same from across the room, as a part of the quilt's diagonal."""
_CORNER = 12
"""A corner is so many times smaller than the quilt, and three blocks at least."""
_ACCENT = 1.3
"""A fabric stands out if it differs from the others so many times as much as the middle one."""


class Sight(StrEnum):
    """What may strike the eye."""

    NEAR = "near"
    """Like colours side by side, seen from near: deviation of the blurred colours, Lab."""
    FAR = "far"
    """Patches of a colour, seen from across the room: the same, blurred more."""
    HALVES = "halves"
    """A light half and a dark one: their difference, L*."""
    CORNERS = "corners"
    """A light or dark corner: how far it is from the whole quilt, L*."""
    BOARD = "board"
    """A checkerboard of lights and darks: the difference of its two colours, L*."""
    LINES = "lines"
    """Light and dark rows, columns or diagonals: deviation of their means by chance, L* of a block;
    of the four families the worst."""
    ACCENTS = "accents"
    """Fabrics that stand out in a huddle: the mean of one over the squared distance of two."""


@dataclass(frozen=True, slots=True)
class Shown:
    """A layout as it is seen."""

    setting: Setting
    """The cells."""
    layout: Sequence[str]
    """Fabric a cell, as many as the setting has."""
    hole: str
    """What stands in it for a cell left as plain background."""
    colours: Mapping[str, Sequence[float]]
    """Lab of each fabric."""
    difference: Mapping[tuple[str, str], float]
    """CIEDE2000 of two fabrics, both ways round."""


def sights(shown: Shown) -> dict[Sight, float]:
    """Return what strikes the eye in a layout, each measure 0 or more."""
    quilt, fabrics = _quilt(shown)
    return _measured(quilt, fabrics)


def worse_by_chance(shown: Shown, *, draws: int = 199, seed: int = 0) -> dict[Sight, float]:
    """Return the part of random layouts of the same fabrics that are worse, by each measure.

    One half is a layout like any other; ties count half.

    Parameters
    ----------
    draws : int
        How many layouts to draw.
    seed : int
        Same seed, same layouts.
    """
    quilt, fabrics = _quilt(shown)
    own = _measured(quilt, fabrics)
    rng = np.random.default_rng(seed)
    drawn = [_measured(quilt, rng.permutation(fabrics)) for _ in range(draws)]
    return {
        sight: float(np.mean([np.sign(other[sight] - value) / 2 + 0.5 for other in drawn]))
        for sight, value in own.items()
    }


class _Quilt:
    """Places and what is measured there."""

    def __init__(
        self, setting: Setting, filled: Sequence[bool], lab: Floats, calls: Floats
    ) -> None:
        cells = [cell for cell, full in zip(pieced(setting), filled, strict=True) if full]
        rows, columns = np.array(cells, dtype=np.float64).T
        self.lab, self.calls = lab, calls
        places = side(setting) * np.column_stack([columns, rows])
        self.places = places - (places.min(axis=0) + places.max(axis=0)) / 2
        gaps = self.places[:, None] - self.places[None]
        self.squares = (gaps**2).sum(axis=-1)
        diagonal = float(np.hypot(*np.ptp(self.places, axis=0)))
        self.near = _blur(self.squares, _NEAR)
        self.far = _blur(self.squares, max(_FAR * diagonal, 2 * _NEAR))
        self.lines = [_averages(keys) for keys in (rows, columns, rows + columns, rows - columns)]
        # On point blocks side by side lie in rows of different parity.
        self.board = (rows if setting.kind == "on point" else rows + columns) % 2 == 0


def _blur(squares: Floats, width: float) -> Floats:
    weights = np.exp(-squares / (2 * width * width))
    return np.asarray(weights / weights.sum(axis=1, keepdims=True))


def _averages(keys: Floats) -> Floats:
    """Return the matrix that takes means over the lines of three or more cells.

    They are times the root of the length, by which chance makes long lines more alike.
    """
    names = [name for name in np.unique(keys) if np.count_nonzero(keys == name) > 2]
    if not names:
        return np.zeros((0, len(keys)))
    return np.stack([(keys == name) / np.sqrt(np.count_nonzero(keys == name)) for name in names])


def _quilt(shown: Shown) -> tuple[_Quilt, NDArray[np.int64]]:
    """Return the places, and the number of the fabric in each."""
    filled = [name != shown.hole for name in shown.layout]
    laid = [name for name in shown.layout if name != shown.hole]
    names = sorted({*laid})
    lab = np.array([shown.colours[name] for name in names], dtype=np.float64).reshape(-1, 3)
    far = np.array([_apart(shown, name, names) for name in names])
    calls = (far > _ACCENT * np.median(far)) if len(far) else far
    number = {name: at for at, name in enumerate(names)}
    fabrics = np.array([number[name] for name in laid], dtype=np.int64)
    return _Quilt(shown.setting, filled, lab, calls.astype(np.float64)), fabrics


def _apart(shown: Shown, name: str, names: Sequence[str]) -> float:
    """Return how much a fabric differs from the others on average."""
    return float(np.mean([shown.difference[name, other] for other in names if other != name] or 0))


def _measured(quilt: _Quilt, shown: NDArray[np.int64]) -> dict[Sight, float]:
    lab = quilt.lab[shown]
    lab = lab - lab.mean(axis=0)
    light = lab[:, 0]
    return {
        Sight.NEAR: _deviation(quilt.near @ lab),
        Sight.FAR: _deviation(quilt.far @ lab),
        Sight.HALVES: _halves(quilt.places, light),
        Sight.CORNERS: _corners(quilt.places, light),
        Sight.BOARD: _parts(light, quilt.board),
        Sight.LINES: max(_deviation((means @ light)[:, None]) for means in quilt.lines),
        Sight.ACCENTS: _huddle(quilt, quilt.calls[shown] > 0),
    }


def _deviation(seen: Floats) -> float:
    return float(np.sqrt((seen**2).sum(axis=1).mean())) if len(seen) else 0.0


def _parts(light: Floats, inside: NDArray[np.bool_]) -> float:
    if inside.all() or not inside.any():
        return 0.0
    return float(abs(light[inside].mean() - light[~inside].mean()))


def _halves(places: Floats, light: Floats) -> float:
    across, down = places.T
    found = [0.0]
    for along in (across, down, across + down, across - down):
        apart = np.abs(along) > 1e-9
        if apart.any():
            found.append(_parts(light[apart], along[apart] > 0))
    return max(found)


def _corners(places: Floats, light: Floats) -> float:
    count = max(3, len(light) // _CORNER)
    half = np.abs(places).max(axis=0)
    means = []
    for way in product((-1, 1), repeat=2):
        away = np.hypot(*(places - np.array(way) * half).T)
        means.append(light[np.argsort(away, kind="stable")[:count]].mean())
    return float(np.abs(means).max())


def _huddle(quilt: _Quilt, calling: NDArray[np.bool_]) -> float:
    (cells,) = calling.nonzero()
    if len(cells) < 2:
        return 0.0
    squares = quilt.squares[np.ix_(cells, cells)][np.triu_indices(len(cells), 1)]
    return float((1 / squares).mean())
