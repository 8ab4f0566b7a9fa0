"""Pairs of fabrics as simulated photos show them, beside their true differences.

Fabrics are mixtures of three measured reflectances. Photos differ in light,
exposure and white balance by amounts that are judgements, told in `CASES`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from palette.colour import difference, light_to_lab
from palette.photo.white_paper import white_reference
from tests.bench.spectra import CAMERAS, Camera, camera, light_source, paper, truth

if TYPE_CHECKING:
    from collections.abc import Sequence

MOST = 40.0
"""True differences looked at."""


@dataclass(frozen=True)
class Spread:
    """How much two photos vary: natural logarithms, root mean square."""

    same_light: bool
    """Whether both are taken in one light."""
    level: float
    """Of the exposure of a photo, apart from the other."""
    tint: float
    """Of red and of blue against green in a photo, apart from the other."""
    common_level: float = 0.0
    """Of the exposure both share."""
    common_tint: float = 0.0
    """Of the tint both share."""


CASES = {
    # Evening the light leaves a hundredth between two places of a photo.
    "one photo, corrected": Spread(True, 0.01, 0.002, 0.03, 0.005),
    # Paper and cloth in each photo are lit alike to three hundredths.
    "same light, corrected": Spread(True, 0.03, 0.005),
    "other light, corrected": Spread(False, 0.03, 0.005),
    # Phones balance white and expose by themselves: 6 % off in tint, a third of a stop in level.
    "one photo, as taken": Spread(True, 0.01, 0.002, 0.23, 0.06),
    "same light, as taken": Spread(True, 0.12, 0.02, 0.2, 0.06),
    "other light, as taken": Spread(False, 0.23, 0.06),
}


@dataclass(frozen=True)
class Pairs:
    """True and measured differences of pairs, shape (n,) each."""

    true: np.ndarray
    measured: np.ndarray


def pairs(
    how: Spread, reflectances: np.ndarray, lights: Sequence[str], count: int, seed: int
) -> Pairs:
    """Photograph pairs; true differences are spread evenly from 0 to MOST."""
    rng = np.random.default_rng(seed)
    found = [
        _pairs(how, reflectances, camera(name), lights, count // len(CAMERAS), rng)
        for name in CAMERAS
    ]
    return Pairs(
        *(np.concatenate([getattr(f, part) for f in found]) for part in ("true", "measured"))
    )


def _pairs(
    how: Spread, reflectances: np.ndarray, eye: Camera, lights: Sequence[str], count: int, rng
) -> Pairs:
    first, second, true = _even(reflectances, count, rng)
    one = rng.integers(len(lights), size=count)
    other = one if how.same_light else rng.integers(len(lights), size=count)
    level = rng.normal(0, how.common_level, (count, 1))
    tint = rng.normal(0, how.common_tint, (count, 2))
    seen = []
    for cloth, which in ((first, one), (second, other)):
        light = np.zeros((count, 3))
        for index, name in enumerate(lights):
            mine = which == index
            source = light_source(name)
            white = eye.light(paper()[None], source)[0]
            exposure = 0.8 / white.max()
            reference = white_reference(exposure * white)
            light[mine] = reference.correct(exposure * eye.light(cloth[mine], source))
        gain = level + rng.normal(0, how.level, (count, 1)) + np.zeros((count, 3))
        gain[:, [0, 2]] += tint + rng.normal(0, how.tint, (count, 2))
        seen.append(light_to_lab(light * np.exp(gain)))
    return Pairs(true, difference(*seen))


def _even(reflectances: np.ndarray, count: int, rng) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Pairs of mixtures whose true differences are spread evenly, and those differences."""
    mixed = rng.dirichlet((0.5, 0.5, 0.5), 6000)
    chosen = rng.integers(len(reflectances), size=(6000, 3))
    cloths = (mixed[..., None] * reflectances[chosen]).sum(axis=1)
    lab = truth(cloths)
    a, b = rng.integers(len(cloths), size=(2, 40 * count))
    true = difference(lab[a], lab[b])
    kept = np.flatnonzero((a != b) & (true < MOST))
    bins = np.floor(true[kept] / 0.5).astype(int)
    weight = 1 / np.bincount(bins)[bins]
    drawn = rng.choice(kept, count, p=weight / weight.sum())
    return cloths[a[drawn]], cloths[b[drawn]], true[drawn]
