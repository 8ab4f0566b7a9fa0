"""How fabrics stand on a background, in words with their numbers."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from api.wording.apart import apart, how_far
from api.wording.doubts import too_close
from api.wording.english import agree, listed, number, percent, tenths
from api.wording.names import called
from api.wording.patches import sinking_in_patches
from palette.picking.choice import Contrast, LeftOut, Limits, Reason, Verdict
from palette.picking.contrast import stands_out
from palette.picking.eligibility import sinking

if TYPE_CHECKING:
    from api.pattern.plan import Plan


STANDS = {
    Verdict.CLEAR: "stands out",
    Verdict.SOFT: "soft",
    Verdict.CAMOUFLAGE: "half melts in",
    Verdict.LOST: "sinks",
}
"""How a fabric stands, in a word or two."""
_TALLIED = {
    Verdict.CLEAR: ("stands out", "stand out"),
    Verdict.SOFT: ("is soft", "are soft"),
    Verdict.CAMOUFLAGE: ("half melts in", "half melt in"),
    Verdict.LOST: ("sinks", "sink"),
}


def stands(plan: Plan, contrast: Contrast) -> str:
    """Say how a fabric stands on a background, and what the photos leave open."""
    against = sinking(contrast, plan.brief.limits)
    if against:
        return sinks(plan, against)
    parts = [_shows(plan, contrast), sinking_in_patches(plan, contrast)]
    parts += [too_close(contrast.doubt, "sink")] if contrast.doubt else []
    return " ".join(filter(None, parts))


def sinks(plan: Plan, entry: LeftOut) -> str:
    """Say why a fabric can't be used on its background: it is lost there or half melts into it."""
    fabric = called(plan, entry.fabric)
    if entry.other is None or entry.other == entry.fabric:
        return f"{fabric} is the background itself."
    ground, measured, limit = called(plan, entry.other), entry.measured or 0.0, entry.limit or 0.0
    if entry.reason == Reason.LOST:
        words = (
            f"{fabric} sinks into {ground}: their colours differ by {tenths(measured, limit)} "
            f"({how_far(measured)}) and {limit:g} is the least."
        )
    else:
        words = (
            f"{fabric} blends into {ground}: {percent(measured)} of it looks like the "
            f"background, and {percent(limit)} is too much."
        )
    return f"{words} {too_close(entry.doubt, 'sink')}" if entry.doubt else words


def tally(plan: Plan) -> str:
    """Count how the bundle stands on the background in use; '' without one."""
    counts = Counter(c.verdict for c in plan.contrasts if c.background == plan.background)
    told = ((counts[verdict], verdict) for verdict in Verdict if counts[verdict])
    return ", ".join(f"{count} {agree(count, *_TALLIED[verdict])}" for count, verdict in told)


def on_background(plan: Plan) -> str:
    """Say how many fabrics stand how on the background in use."""
    if not plan.background:
        return "No background is chosen yet, so no fabric was checked against one."
    if not plan.brief.shows_background:
        return "This quilt shows no background, so no fabric was checked against one."
    counts = Counter(c.verdict for c in plan.contrasts if c.background == plan.background)
    clear, soft = counts[Verdict.CLEAR], counts[Verdict.SOFT]
    lost, half = counts[Verdict.LOST], counts[Verdict.CAMOUFLAGE]
    stands = agree(clear, "stands", "stand")
    line = f"{clear} of {number(counts.total(), 'fabric')} {stands} out clearly"
    line += f", {soft} softly" if soft else ""
    line += f", {lost} {agree(lost, 'sinks', 'sink')} into it" if lost else ""
    line += f", {half} half {agree(half, 'melts', 'melt')} into it" if half else ""
    return f"On {called(plan, plan.background)} {line}."


def _shows(plan: Plan, contrast: Contrast) -> str:
    fabric, ground = called(plan, contrast.fabric), called(plan, contrast.background)
    if contrast.verdict == Verdict.SOFT:
        return f"{fabric} is soft on {ground}: {_weaknesses(contrast, plan.brief.limits)}."
    return (
        f"{fabric} stands out from {ground}: their colours differ by "
        f"{apart(contrast.difference)}, their lightness by {tenths(abs(contrast.lightness))}."
    )


def _weaknesses(contrast: Contrast, limits: Limits) -> str:
    """Name everything that keeps a fabric from being clear."""
    difference, lightness, weak = contrast.difference, abs(contrast.lightness), []
    if not stands_out(difference, contrast.lightness, limits):
        if difference < limits.clear:
            far = tenths(difference, limits.clear)
            where = "from across the room " if difference < limits.lost else ""
            weak.append(f"{where}their colours differ by only {far} ({limits.clear:g} is clear)")
        if lightness < limits.lightness:
            far = tenths(lightness, limits.lightness)
            weak.append(f"their lightness differs by only {far} ({limits.lightness:g} is clear)")
    if contrast.near_share >= limits.camouflage_warn:
        share = percent(contrast.near_share, limits.camouflage)
        weak.append(f"{share} of it looks like the background")
    return listed(weak)
