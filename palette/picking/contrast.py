"""How a fabric stands against a background, and which background serves best.

Two looks count. From across the room: the colours the two read as, and their
lightness, because an edge without a step in lightness is weak (Tansley and
Boynton 1978, 'Chromatic border perception'). Close up: how much of the fabric
is as good as the background. A print that reads as the background is lost only if
its own area lies near it; a bold one is seen at once close up, and is soft.
"""

from __future__ import annotations

from dataclasses import replace
from statistics import median
from typing import TYPE_CHECKING

import numpy as np

from palette.colour import Floats, difference
from palette.picking.choice import FAILED, Contrast, Limits, Verdict
from palette.picking.similarity import reads_as_colours, weighted_colours
from palette.uncertainty import Doubt, case, chance_below, is_open, is_together

if TYPE_CHECKING:
    from collections.abc import Sequence

    from palette.fabric import Fabric

Parts = tuple[tuple[float, float], ...]


def judge(
    fabrics: Sequence[Fabric], backgrounds: Sequence[Fabric], limits: Limits | None = None
) -> tuple[Contrast, ...]:
    """Hold every fabric against every background, background by background.

    A fabric that is the background itself (the same id) is lost in it.

    Parameters
    ----------
    fabrics, backgrounds : sequence of fabrics
        The bundle, and the candidates for its background.
    limits : Limits, optional
        Thresholds of the verdicts.

    Returns
    -------
    tuple of Contrast
        One for each pair, fabrics in their order within each background.
    """
    if not fabrics or not backgrounds:
        return ()
    limits = limits or Limits()
    from_afar = difference(reads_as_colours(fabrics)[None], reads_as_colours(backgrounds)[:, None])
    parts = _parts(fabrics, backgrounds)
    return tuple(
        _contrast(fabric, background, float(from_afar[b, f]), parts[b][f], limits)
        for b, background in enumerate(backgrounds)
        for f, fabric in enumerate(fabrics)
    )


def best_background(contrasts: Sequence[Contrast]) -> str:
    """Return the id of the background on which most fabrics are clear.

    Where several are as good: the fewest lost or camouflaged, then the largest
    median difference, then the first.

    Raises
    ------
    ValueError
        If there are no contrasts.
    """
    if not contrasts:
        raise ValueError("there is no background to choose: judge the fabrics against some first")
    backgrounds = dict.fromkeys(contrast.background for contrast in contrasts)
    return max(backgrounds, key=lambda name: _merit(name, contrasts))


def verdict(
    difference: float,
    lightness: float,
    near_share: float,
    limits: Limits,
    sunk_share: float | None = None,
) -> Verdict:
    """Return how a fabric stands, given its three measures as in `Contrast`.

    `sunk_share` is the part of its area that differs by less than `limits.lost`; that which
    lies near unless it is given.
    """
    little = near_share < limits.camouflage_warn
    sunk = near_share if sunk_share is None else sunk_share
    if difference < limits.lost and sunk >= limits.camouflage_warn:
        return Verdict.LOST
    if near_share >= limits.camouflage:
        return Verdict.CAMOUFLAGE
    if little and difference >= limits.lost and stands_out(difference, lightness, limits):
        return Verdict.CLEAR
    return Verdict.SOFT


def rejudge(contrast: Contrast, limits: Limits) -> Verdict:
    """Return the verdict a measured contrast would have under other limits."""
    if contrast.fabric == contrast.background:
        return Verdict.LOST
    near, sunk = contrast.near_share, None
    if contrast.parts:
        near = _near_share(contrast.parts, min(limits.near, limits.lost))
        sunk = _near_share(contrast.parts, limits.lost)
    return verdict(contrast.difference, contrast.lightness, near, limits, sunk)


def _merit(background: str, contrasts: Sequence[Contrast]) -> tuple[int, int, float]:
    mine = [contrast for contrast in contrasts if contrast.background == background]
    verdicts = [contrast.verdict for contrast in mine]
    failed = sum(each in FAILED for each in verdicts)
    return verdicts.count(Verdict.CLEAR), -failed, median(contrast.difference for contrast in mine)


def _contrast(
    fabric: Fabric, background: Fabric, difference: float, parts: Parts, limits: Limits
) -> Contrast:
    lightness = fabric.reads_as.lightness - background.reads_as.lightness
    # What is enough for a whole fabric is enough for a part of it.
    near = _near_share(parts, min(limits.near, limits.lost))
    bare = Contrast(fabric.id, background.id, Verdict.SOFT, difference, lightness, near, parts)
    how = case(fabric, background)
    chance = chance_below(limits.lost, difference, how)
    sure = fabric.id == background.id or not is_open(chance)
    doubt = None if sure else Doubt(chance, is_together(how))
    return replace(bare, verdict=rejudge(bare, limits), doubt=doubt)


def _parts(fabrics: Sequence[Fabric], backgrounds: Sequence[Fabric]) -> list[list[Parts]]:
    """Return for each background and fabric how far each part of the fabric is from it.

    A colour of the fabric meets each colour of the background along as much of
    the seam as that colour has of the background. From further off it meets what
    the background reads as; the smaller difference counts.
    """
    colours, shares = weighted_colours(fabrics)
    ground, cover = weighted_colours(backgrounds)
    one_by_one = difference(colours[:, :, None, None], ground)
    mixed = difference(colours[:, :, None, None], reads_as_colours(backgrounds)[:, None])
    least = np.minimum(one_by_one, mixed).transpose(2, 0, 1, 3)
    area = (shares[:, :, None, None] * cover).transpose(2, 0, 1, 3)
    return [
        [_pairs(least[b, f], area[b, f]) for f in range(len(fabrics))]
        for b in range(len(backgrounds))
    ]


def _pairs(least: Floats, area: Floats) -> Parts:
    there = area > 0
    return tuple(zip(least[there].tolist(), area[there].tolist(), strict=True))


def _near_share(parts: Parts, near: float) -> float:
    """Add up what differs by less."""
    return round(sum(area for difference, area in parts if difference < near), 9)


def stands_out(difference: float, lightness: float, limits: Limits) -> bool:
    """Whether a fabric is clear by its two differences, as in `Contrast`, alone."""
    seen = difference >= limits.clear and abs(lightness) >= limits.lightness
    return seen or abs(lightness) >= limits.lightness_alone
