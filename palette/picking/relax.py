"""Which limit to relax, and how far, so that enough fabrics can be used.

Every proposal is checked by choosing again under the relaxed limit, with all that
can be used now kept.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from palette.picking.choice import Contrast, Limits, Reason, Relax
from palette.picking.eligibility import Bundle, by_preference, largest, sift


def relaxations(
    bundle: Bundle, kept: Sequence[int], limits: Limits, count: int
) -> tuple[Relax, ...]:
    """Propose for each limit the mildest value that lets enough in, or else the most in.

    Parameters
    ----------
    bundle : Bundle
        What was measured.
    kept : sequence of int
        As many places as can be used together under the limits as they are.
    limits : Limits
        Those limits.
    count : int
        How many fabrics are wanted.
    """
    return tuple(
        proposal
        for dial in _DIALS
        if (proposal := _mildest(dial, bundle, kept, limits, count)) is not None
    )


@dataclass(frozen=True, slots=True)
class _Dial:
    """A limit that can be relaxed."""

    limit: str
    """Name of the field of Limits."""
    values: Callable[[Bundle, Sequence[int], Limits], list[float]]
    """Values that may let one more in beside the places kept, the mildest first."""


def _mildest(
    dial: _Dial, bundle: Bundle, kept: Sequence[int], limits: Limits, count: int
) -> Relax | None:
    best, most = None, [*kept]
    for value in dial.values(bundle, kept, limits):
        found = _usable(bundle, replace(limits, **{dial.limit: value}), kept)
        if len(found) > len(most):
            best, most = value, found
        if len(most) >= count:
            break
    if best is None:
        return None
    back = (bundle.fabrics[place].id for place in sorted(set(most) - set(kept)))
    short = max(0, count - len(most))
    return Relax(dial.limit, best, getattr(limits, dial.limit), tuple(back), short)


def _usable(bundle: Bundle, limits: Limits, kept: Sequence[int]) -> list[int]:
    out = sift(bundle, limits)
    able = by_preference(bundle, [p for p in range(len(bundle.fabrics)) if p not in out])
    return largest(bundle, able, limits, kept)[0]


def _out(bundle: Bundle, limits: Limits, reason: Reason) -> list[Contrast]:
    entries = sift(bundle, limits).values()
    return [bundle.contrasts[entry.fabric] for entry in entries if entry.reason == reason]


def _tenths_below(values: Iterable[float]) -> list[float]:
    return sorted({math.floor(value * 10) / 10 for value in values}, reverse=True)


def _lost(bundle: Bundle, _: Sequence[int], limits: Limits) -> list[float]:
    lost = _out(bundle, limits, Reason.LOST)
    return _tenths_below(c.difference for c in lost if c.fabric != c.background)


def _camouflage(bundle: Bundle, _: Sequence[int], limits: Limits) -> list[float]:
    shares = [contrast.near_share for contrast in _out(bundle, limits, Reason.CAMOUFLAGE)]
    return sorted({(math.floor(share * 100) + 1) / 100 for share in shares})


def _twin(bundle: Bundle, kept: Sequence[int], limits: Limits) -> list[float]:
    out = sift(bundle, limits)
    rest = [p for p in range(len(bundle.fabrics)) if p not in out and p not in kept]
    among = bundle.apart[np.ix_(rest, [*kept, *rest])]
    return _tenths_below(among[(among > 0) & (among < limits.twin)].tolist())


_DIALS = (
    _Dial("lost", _lost),
    _Dial("camouflage", _camouflage),
    _Dial("twin", _twin),
)
