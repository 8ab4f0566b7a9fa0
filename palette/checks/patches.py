"""Independent judge of what is told of patches: cuts them from the picture itself.

Squares are cut at random places of the picture that drawings are made of. What leads in
each is counted from its pixels, what it reads as is the mean of their light, and whether
it sinks follows from both by the limits of the plan (as in palette.checks.sinking).
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from numpy.typing import NDArray

    from palette.colour import Lab
    from palette.fabric import Fabric
    from palette.picking.choice import Limits

    Array = NDArray[np.float64]

_RIM = 0.02
"""Part of a picture on each side that no piece is cut from: it is often frayed."""
_POINTS = 24
"""Points across and down at which a square is looked at."""
_LEAST = 1e-5
"""Light below this is none."""


_MANY = 60
"""Squares of each size that are cut."""
_OFF = 0.3
"""Part of the patches that what is told may be off: both look at few of them, and light falls
off across a picture. On 28 real prints in 3 sizes it is up to 0.15."""
_DIFFERENT = 5.0
"""From this difference on it matters what leads: patches that look alike may have any colour a
little ahead."""


class PatchFaultKind(StrEnum):
    """What can be told wrongly; the facts of each stand in placement.checks.fault."""

    LEADS = "patches lead"
    APART = "patches apart"
    SINK = "patches sink"


@dataclass(frozen=True, slots=True)
class PatchFault:
    """Something told wrongly of patches."""

    kind: PatchFaultKind
    """What."""
    facts: tuple[tuple[str, float | str], ...]
    """What it is about."""


@dataclass(frozen=True, slots=True)
class Told:
    """What is told of the patches of a fabric, or what squares cut from its picture show."""

    leads: tuple[float, ...]
    """Part of them in which each main colour of the fabric covers most."""
    apart: float
    """How much what two of them read as differs on average, CIEDE2000."""
    sink: float | None
    """Part of them that sinks into the background; None if nothing is told of that."""


def judge_patches(
    fabric: Fabric,
    picture: bytes,
    sides: Sequence[float],
    said: Told,
    *,
    background: Fabric | None,
    limits: Limits,
) -> tuple[PatchFault, ...]:
    """List what is told wrongly of the patches cut from a fabric.

    Parameters
    ----------
    fabric : Fabric
        Its main colours are looked for.
    picture : bytes
        JPEG or PNG.
    sides : sequence of float
        Side of each patch of the block, as a square, part of the picture's width.
    said : Told
        What is told, of all of them together.
    background : Fabric or None
        What they lie on.
    limits : Limits
        By which a patch sinks.
    """
    found = cut_out(fabric, picture, sides, background=background, limits=limits)
    return tuple(_faults(fabric, said, found))


def _faults(fabric: Fabric, said: Told, found: Told) -> Iterator[PatchFault]:
    def fault(kind: PatchFaultKind, told: float, seen: float, **facts: str) -> PatchFault:
        numbers = (("said", told), ("found", seen))
        return PatchFault(kind, (("fabric", fabric.id), *facts.items(), *numbers))

    if abs(said.apart - found.apart) > max(6.0, 0.5 * found.apart):
        yield fault(PatchFaultKind.APART, said.apart, found.apart)
    if min(said.apart, found.apart) >= _DIFFERENT:
        for told, seen in zip(said.leads, found.leads, strict=True):
            if abs(told - seen) > _OFF:
                yield fault(PatchFaultKind.LEADS, told, seen)
    if said.sink is not None and found.sink is not None and abs(said.sink - found.sink) > _OFF:
        yield fault(PatchFaultKind.SINK, said.sink, found.sink)


def cut_out(
    fabric: Fabric,
    picture: bytes,
    sides: Sequence[float],
    *,
    background: Fabric | None,
    limits: Limits,
) -> Told:
    """Cut squares from a fabric's picture at random and say what they show.

    Parameters
    ----------
    fabric, picture, sides, background, limits : Fabric, bytes, sequence, Fabric or None, Limits
        As for `judge_patches`; a square that is too large is as large as fits.
    """
    pixels = _opened(picture)
    # Patches of one size are looked at once, as often as there are some of it.
    sizes, times = np.unique(np.round(sides, 6), return_counts=True)
    each = [_of_one_size(fabric, pixels, size, background, limits) for size in sizes]
    part = times / times.sum()
    leads = part @ np.array([one.leads for one in each])
    apart = float(part @ [one.apart for one in each])
    sink = float(part @ [one.sink or 0.0 for one in each]) if background else None
    return Told(tuple(leads.tolist()), apart, sink)


def _of_one_size(
    fabric: Fabric, pixels: Array, side: float, background: Fabric | None, limits: Limits
) -> Told:
    random = np.random.default_rng(7)
    cut = [_square(pixels, side, random) for _ in range(_MANY)]
    main = np.array([_lab(part.colour) for part in fabric.colours])
    shares = np.array([_shares(_to_lab(each), main) for each in cut])
    reads = _to_lab(np.array([each.mean(axis=0) for each in cut]))
    leads = np.bincount(shares.argmax(axis=1), minlength=len(main)) / _MANY
    first, second = np.triu_indices(_MANY, 1)
    apart = float(_far(reads[first], reads[second]).mean())
    sinks = _sinks(main, shares, reads, background, limits) if background else 0.0
    return Told(tuple(leads.tolist()), apart, sinks)


def _opened(picture: bytes) -> Array:
    from PIL import Image

    with Image.open(BytesIO(picture), formats=("JPEG", "PNG")) as opened:
        pixels = np.asarray(opened.convert("RGB"), dtype=np.float64)
    rows, columns = (round(_RIM * length) for length in pixels.shape[:2])
    return pixels[rows : len(pixels) - rows or None, columns : pixels.shape[1] - columns or None]


def _square(pixels: Array, side: float, random: np.random.Generator) -> Array:
    """Return the light of points all over a square, shape (points, 3)."""
    height, width = pixels.shape[:2]
    long = max(1, min(round(side * width / (1 - 2 * _RIM)), width, height))
    top, left = random.integers(height - long + 1), random.integers(width - long + 1)
    steps = np.unique(np.linspace(0, long - 1, _POINTS).astype(int))
    return _decoded(pixels[np.ix_(top + steps, left + steps)].reshape(-1, 3))


def _shares(lab: Array, main: Array) -> Array:
    """Return how much of a square each main colour has: that each point is nearest to."""
    nearest = np.square(lab[:, None] - main).sum(axis=2).argmin(axis=1)
    return np.asarray(np.bincount(nearest, minlength=len(main)) / len(nearest))


def _sinks(main: Array, shares: Array, reads: Array, ground: Fabric, limits: Limits) -> float:
    whole = _lab(ground.reads_as)
    cover = np.array([part.share for part in ground.colours])
    met = np.array([_lab(part.colour) for part in ground.colours])
    least = np.minimum(_far(main[:, None], met[None]), _far(main, whole[None])[:, None])
    near = shares @ ((least < min(limits.near, limits.lost)) @ cover) / cover.sum()
    sunk = shares @ ((least < limits.lost) @ cover) / cover.sum()
    lost = (_far(reads, whole[None]) < limits.lost) & (sunk >= limits.camouflage_warn)
    return float(np.mean(lost | (near >= limits.camouflage)))


def _far(one: Array, other: Array) -> Array:
    from skimage.color import deltaE_ciede2000

    return np.asarray(deltaE_ciede2000(*np.broadcast_arrays(one, other)))


def _decoded(pixels: Array) -> Array:
    """Return the light of sRGB codes (IEC 61966-2-1)."""
    part = pixels / 255
    return np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)


def _to_lab(light: Array) -> Array:
    from skimage.color import xyz2lab

    to_xyz = [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    return np.asarray(xyz2lab(np.maximum(light, _LEAST) @ np.transpose(to_xyz)))


def _lab(colour: Lab) -> Array:
    return np.array([colour.lightness, colour.a, colour.b])
