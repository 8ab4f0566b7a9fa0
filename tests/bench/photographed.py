"""Pairs of fabrics as simulated photos show them, beside their true differences.

Fabrics are mixtures of three measured reflectances. Photos differ in light,
exposure and white balance, and phones render what they saw, by amounts that are
judgements, told in `CASES` and `RENDERED`; bounds made with them are held
against real charts by bench_real_photos.py.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from palette.colour import Lab, difference, lab_to_light, light_to_lab
from palette.photo.white_paper import white_reference
from tests.bench.spectra import CAMERAS, Camera, camera, light_source, paper, truth

if TYPE_CHECKING:
    from collections.abc import Sequence

MOST = 40.0
"""True differences looked at."""
_PAPER = Lab.rounded(truth(paper()[None])[0])
"""What the simulated paper is."""


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


@dataclass(frozen=True)
class Rendering:
    """How a phone bends colours to please: standard deviations from phone to phone, in Lab.

    Means are left out: they are made up for by the lightness that office paper is told to have.
    """

    middle: float
    """Of L* about 62."""
    dark: float
    """Of L* about 25."""
    chroma: float
    """Natural logarithm of the times by which chroma is raised."""
    own: float
    """Of L*, a* and b* of each colour by itself: hues are bent one by one, and dyes are seen by
    a camera otherwise than by the eye."""


RENDERED = Rendering(1.5, 1.5, 0.04, 1.4)

CASES = {
    # Light of a window and a lamp mixes by place: a hundredth in tint, two in level once evened.
    "one photo, corrected": Spread(True, 0.02, 0.01, 0.05, 0.01),
    # Paper and cloth in each photo are lit alike to six hundredths.
    "same light, corrected": Spread(True, 0.06, 0.02),
    "other light, corrected": Spread(False, 0.08, 0.02),
    # Phones balance white and expose by themselves: 6 % off in tint, a third of a stop in level.
    "one photo, as taken": Spread(True, 0.02, 0.01, 0.15, 0.04),
    "same light, as taken": Spread(True, 0.12, 0.03, 0.3, 0.06),
    "other light, as taken": Spread(False, 0.35, 0.1),
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
    seen, looks = [], _look(rng, count)
    for cloth, which in ((first, one), (second, other)):
        light = np.zeros((count, 3))
        for index, name in enumerate(lights):
            mine = which == index
            source = light_source(name)
            white = eye.light(paper()[None], source)[0]
            exposure = 0.8 / white.max()
            reference = white_reference(exposure * white, _PAPER)
            light[mine] = reference.correct(exposure * eye.light(cloth[mine], source))
        gain = level + rng.normal(0, how.level, (count, 1)) + np.zeros((count, 3))
        gain[:, [0, 2]] += tint + rng.normal(0, how.tint, (count, 2))
        lab = _rendered(light_to_lab(light), looks, rng)
        seen.append(light_to_lab(lab_to_light(lab) * np.exp(gain)))
        looks = looks if how.same_light else _look(rng, count)
    return Pairs(true, difference(*seen))


def _look(rng: np.random.Generator, count: int) -> np.ndarray:
    """Draw how phones bend: middle, dark and chroma, shape (count, 3)."""
    spread = (RENDERED.middle, RENDERED.dark, RENDERED.chroma)
    return rng.normal(0, 1, (count, 3)) * spread


def _rendered(lab: np.ndarray, looks: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Bend colours, shape (n, 3), as phones do."""
    lightness = lab[:, 0]
    bumps = [np.exp(-(((lightness - at) / wide) ** 2) / 2) for at, wide in ((62, 18), (25, 14))]
    bent = lightness + looks[:, 0] * bumps[0] + looks[:, 1] * bumps[1]
    colour = lab[:, 1:] * np.exp(looks[:, 2:])
    return np.column_stack([bent, colour]) + rng.normal(0, RENDERED.own, lab.shape)


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
