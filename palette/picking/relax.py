"""Which limit to relax, and how far, so that enough fabrics can be used.

Every proposal is checked by sifting the bundle again under the relaxed limit.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

import numpy as np

from palette.picking.choice import Limits, Reason, Relax
from palette.picking.eligibility import Bundle, Out, sift


def relaxations(bundle: Bundle, out: Out, limits: Limits, count: int) -> tuple[Relax, ...]:
    """Propose for each limit the mildest value that lets enough in, or else the most in.

    Parameters
    ----------
    bundle : Bundle
        What was measured.
    out : dict of place to LeftOut
        What cannot be used under the limits as they are.
    limits : Limits
        Those limits.
    count : int
        How many fabrics are wanted.
    """
    return tuple(
        proposal
        for dial in _DIALS
        if (proposal := _mildest(dial, bundle, out, limits, count)) is not None
    )


@dataclass(frozen=True, slots=True)
class _Dial:
    """A limit that can be relaxed."""

    limit: str
    """Name of the field of Limits."""
    values: Callable[[Bundle, Out], list[float]]
    """Values that may let one more in, the mildest first."""


def _mildest(dial: _Dial, bundle: Bundle, out: Out, limits: Limits, count: int) -> Relax | None:
    best, fewest = None, len(out)
    for value in dial.values(bundle, out):
        still_out = sift(bundle, replace(limits, **{dial.limit: value}))
        if len(still_out) < fewest:
            best, fewest = (value, still_out), len(still_out)
        if len(bundle.fabrics) - fewest >= count:
            break
    if best is None:
        return None
    value, still_out = best
    back = (bundle.fabrics[place].id for place in sorted(set(out) - set(still_out)))
    short = max(0, count - (len(bundle.fabrics) - fewest))
    return Relax(dial.limit, value, getattr(limits, dial.limit), tuple(back), short)


def _tenths_below(values: Iterable[float]) -> list[float]:
    return sorted({math.floor(value * 10) / 10 for value in values}, reverse=True)


def _lost(bundle: Bundle, out: Out) -> list[float]:
    contrasts = [bundle.contrasts[e.fabric] for e in out.values() if e.reason == Reason.LOST]
    return _tenths_below(c.difference for c in contrasts if c.fabric != c.background)


def _camouflage(bundle: Bundle, out: Out) -> list[float]:
    shares = [
        bundle.contrasts[e.fabric].near_share for e in out.values() if e.reason == Reason.CAMOUFLAGE
    ]
    return sorted({(math.floor(share * 100) + 1) / 100 for share in shares})


def _twin_far(bundle: Bundle, out: Out) -> list[float]:
    places = [place for place, entry in out.items() if entry.reason == Reason.TWIN]
    return _tenths_below(bundle.far[places][np.isfinite(bundle.close[places])])


def _twin_close(bundle: Bundle, out: Out) -> list[float]:
    places = [place for place, entry in out.items() if entry.reason == Reason.TWIN]
    return _tenths_below(bundle.close[places][np.isfinite(bundle.close[places])])


_DIALS = (
    _Dial("lost", _lost),
    _Dial("camouflage", _camouflage),
    _Dial("twin_far", _twin_far),
    _Dial("twin_close", _twin_close),
)
