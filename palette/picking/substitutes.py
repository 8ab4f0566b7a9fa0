"""What each left-out fabric would do in the place of a chosen one.

The other chosen ones are taken to stay. A pick made after such an exchange is
free to change them, so it is never worse than what is told here.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from palette.picking.choice import Choice, Contrast, LeftOut, Limits, Verdict
from palette.picking.contrast import rejudge
from palette.picking.eligibility import Bundle, measure, sinking, twins_of

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from palette.fabric import Fabric


@dataclass(frozen=True, slots=True)
class Substitute:
    """A left-out fabric in the place of a chosen one."""

    fabric: str
    """Id of the left-out fabric."""
    closest_after: float | None
    """Difference of the closest chosen pair then; None for fewer than two."""
    pair: tuple[str, str] | None
    """That pair."""
    sinks: LeftOut | None = None
    """Why it would not be seen on the background, if so."""
    twins: tuple[str, ...] = ()
    """Chosen fabrics that are nearly the same and would then be left out."""
    soft: bool = False
    """Whether it stands out only softly from the background."""


def substitutes(
    fabrics: Sequence[Fabric],
    contrasts: Sequence[Contrast],
    choice: Choice,
    out: str,
    must: Collection[str] = (),
    limits: Limits | None = None,
) -> tuple[Substitute, ...]:
    """Try every left-out fabric in the place of a chosen one.

    Parameters
    ----------
    fabrics, contrasts : Sequence[Fabric], Sequence[Contrast]
        As the choice was made with (see palette.picking.pick).
    must, limits : Collection[str], Limits | None
        As the choice was made with (see palette.picking.pick).
    choice : Choice
        The choice.
    out : str
        Id of the chosen fabric that would go.

    Returns
    -------
    tuple of Substitute
        Best first: those that can be seen on the background before those that sink
        into it, and the ones that leave the closest pair furthest apart first.

    Raises
    ------
    ValueError
        If that fabric is not among the chosen ones.
    """
    if out not in choice.kept:
        raise ValueError(f"fabric {out!r} is not among the chosen ones; name one that is")
    limits = limits or Limits()
    bundle = measure(fabrics, contrasts, must, ())
    at = {fabric.id: place for place, fabric in enumerate(fabrics)}
    rest = [at[name] for name in choice.kept if name != out]
    found = [_try(bundle, rest, at[entry.fabric], limits) for entry in choice.left_out]
    return tuple(entry for _, entry in sorted(found, key=lambda pair: pair[0]))


Rank = tuple[bool, float, int]


def _try(
    bundle: Bundle, rest: Sequence[int], place: int, limits: Limits
) -> tuple[Rank, Substitute]:
    """Try one fabric; near-twins of it would be sifted out unless they must be used."""
    twins = [t for t in twins_of(bundle, place, rest, limits) if not bundle.pinned(t)]
    chosen = [*(other for other in rest if other not in twins), place]
    pair = min(combinations(chosen, 2), key=lambda two: float(bundle.apart[two]), default=None)
    after = None if pair is None else float(bundle.apart[pair])
    contrast = bundle.contrasts.get(bundle.fabrics[place].id)
    sinks = sinking(contrast, limits) if contrast else None
    ids = [fabric.id for fabric in bundle.fabrics]
    tried = Substitute(
        ids[place],
        after,
        None if pair is None else (ids[min(pair)], ids[max(pair)]),
        sinks,
        tuple(ids[twin] for twin in twins),
        contrast is not None and rejudge(contrast, limits) == Verdict.SOFT,
    )
    return (sinks is not None, -(after or 0.0), place), tried
