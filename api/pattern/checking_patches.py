"""What a judge says of patches, who cuts them from the fabrics' pictures."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from api.pattern.patches import feature_sides, patches_shown, patches_that_sink
from palette.checks.patches import Told, judge_patches
from palette.picking.choice import FAILED
from placement.checks.fault import Fault, FaultKind

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from api.pattern.plan import Plan
    from palette.checks.patches import PatchFault
    from palette.fabric import Fabric
    from palette.picking.choice import Limits

_KEPT = 256


def check_patches(plan: Plan, pictures: Mapping[str, bytes]) -> tuple[Fault, ...]:
    """List every fault that a judge finds with what is told of the patches of prints.

    Parameters
    ----------
    plan : Plan
        A plan.
    pictures : mapping of str to bytes
        The fabrics' pictures by name; of a fabric without one nothing can be judged.
    """
    return tuple(_faults(plan, pictures))


def _faults(plan: Plan, pictures: Mapping[str, bytes]) -> Iterator[Fault]:
    sides = feature_sides(plan.brief)
    shown = bool(plan.background and plan.contrasts)
    ground = plan.swatch(plan.background).fabric if shown else None
    for swatch in plan.brief.swatches:
        name = swatch.fabric.id
        told, picture = patches_shown(plan, name), pictures.get(swatch.picture)
        if told is None or not told.known or picture is None:
            continue
        entry = plan.contrast(name)
        whole = entry if entry and entry.verdict not in FAILED else None
        sink = patches_that_sink(plan, whole) if whole else None
        said = Told(told.leads, told.apart, sink)
        parts = tuple(side / float(swatch.shows) for side in sides)
        for each in _judged(swatch.fabric, picture, parts, ground, said, plan.brief.limits):
            yield Fault(FaultKind(each.kind), each.facts)


@lru_cache(maxsize=_KEPT)
def _judged(
    fabric: Fabric,
    picture: bytes,
    parts: tuple[float, ...],
    ground: Fabric | None,
    said: Told,
    limits: Limits,
) -> tuple[PatchFault, ...]:
    return judge_patches(fabric, picture, parts, said, background=ground, limits=limits)
