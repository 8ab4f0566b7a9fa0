"""What patches cut from a print show, and how many of them sink into a background.

A print is judged as a whole from across the room, but a block holds small pieces of
it. What squares of its cloth show was measured on the photo (`palette.photo.squares`);
between two sizes that were looked at it is taken to change evenly with the octave. A
piece sinks by the same limits as a whole fabric does (`palette.picking.contrast`).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import log2
from typing import TYPE_CHECKING

import numpy as np

from palette.colour import difference, lab_to_light, light_to_lab
from palette.fabric import SQUARES
from palette.picking.choice import FAILED, Limits
from palette.picking.contrast import verdict

if TYPE_CHECKING:
    from collections.abc import Callable

    from palette.colour import Floats
    from palette.fabric import Fabric

_KEPT = 512
_DARKEST = 1e-4
"""Light below this has no colour to go by."""


@dataclass(frozen=True, slots=True)
class Patches:
    """What patches of one size show of a fabric."""

    leads: tuple[float, ...]
    """Part of the patches in which each main colour covers most, in the order of the fabric's."""
    apart: float
    """How much what two patches read as differs on average, CIEDE2000."""


@lru_cache(maxsize=_KEPT)
def patches(fabric: Fabric, side: float) -> Patches | None:
    """Return what patches of a fabric show; None if its squares were not looked at.

    Parameters
    ----------
    fabric : Fabric
        The fabric.
    side : float
        Side of a square as large as the patch, part of the width of the fabric's picture.
    """
    if _squares(fabric) is None:
        return None
    leads = _between(fabric, side, _leads)
    apart = _between(fabric, side, lambda shares: np.array([_apart(fabric, shares)]))
    return Patches(tuple(leads.tolist()), float(apart[0]))


@lru_cache(maxsize=_KEPT)
def sinking_patches(
    fabric: Fabric, background: Fabric, side: float, limits: Limits
) -> float | None:
    """Return what part of a fabric's patches sinks into a background; None if that is not known.

    Parameters
    ----------
    fabric, background : Fabric
        The two; the background is taken as a whole.
    side : float
        As for `patches`.
    limits : Limits
        By which a whole fabric would sink.
    """
    if _squares(fabric) is None:
        return None
    near, sunk = (
        _near(fabric, background, limit) for limit in (min(limits.near, limits.lost), limits.lost)
    )
    ground = background.reads_as.array()

    def sinking(shares: Floats) -> Floats:
        lab = _read(fabric, shares)
        seen = zip(
            difference(lab, ground[None]).tolist(),
            (lab[:, 0] - ground[0]).tolist(),
            (shares @ near).tolist(),
            (shares @ sunk).tolist(),
            strict=True,
        )
        failed = [verdict(*each[:3], limits, each[3]) in FAILED for each in seen]
        return np.array([np.mean(failed)])

    return float(_between(fabric, side, sinking)[0])


def _squares(fabric: Fabric) -> tuple[str, ...] | None:
    return fabric.print.squares if fabric.print else None


def _between(fabric: Fabric, side: float, measure: Callable[[Floats], Floats]) -> Floats:
    """Measure squares of the sizes about a side, and take what lies between."""
    place = min(max(log2(side / SQUARES[0]), 0.0), float(len(SQUARES)))
    lower = int(place)
    part = place - lower
    below = measure(_shares(fabric, lower))
    return below if not part else (1 - part) * below + part * measure(_shares(fabric, lower + 1))


def _shares(fabric: Fabric, size: int) -> Floats:
    """Return the shares of the main colours in squares of a size, shape (n, colours).

    Of those that were not told of, and of the whole width, the whole cloth is the one square.
    """
    told = _squares(fabric) or ()
    if size < len(told):
        rows = [[float(part) for part in each.split("-")] for each in told[size].split(":")]
    else:
        rows = [[part.share for part in fabric.colours]]
    shares = np.array(rows)
    return np.asarray(shares / shares.sum(axis=1, keepdims=True))


def _leads(shares: Floats) -> Floats:
    return np.bincount(shares.argmax(axis=1), minlength=shares.shape[1]) / len(shares)


def _read(fabric: Fabric, shares: Floats) -> Floats:
    """Return what squares read as, shape (n, 3): all of them together, what the fabric does."""
    lab = np.array([part.colour.array() for part in fabric.colours])
    whole = np.array([part.share for part in fabric.colours])
    light = lab_to_light(lab)
    mean = np.maximum(whole / whole.sum() @ light, _DARKEST)
    told = np.maximum(lab_to_light(fabric.reads_as.array()), _DARKEST)
    return light_to_lab(np.maximum(shares @ light, 0.0) * (told / mean))


def _apart(fabric: Fabric, shares: Floats) -> float:
    if len(shares) < 2:
        return 0.0
    lab = _read(fabric, shares)
    first, second = np.triu_indices(len(lab), 1)
    return float(difference(lab[first], lab[second]).mean())


def _near(fabric: Fabric, background: Fabric, limit: float) -> Floats:
    """Return for each main colour on what part of the background it lies near it."""
    own = np.array([part.colour.array() for part in fabric.colours])[:, None]
    ground = np.array([part.colour.array() for part in background.colours])
    cover = np.array([part.share for part in background.colours])
    mixed = difference(own, background.reads_as.array())
    return np.asarray((np.minimum(difference(own, ground), mixed) < limit) @ (cover / cover.sum()))
