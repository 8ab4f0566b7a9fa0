"""What tells a plan from its variants, in words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.wording.apart import apart
from api.wording.english import by, number, tenths
from api.wording.names import called

if TYPE_CHECKING:
    from collections.abc import Iterator

    from api.pattern.plan import Plan


def facts(plan: Plan, near: int) -> Iterator[str]:
    """Yield what tells a plan from its variants.

    Parameters
    ----------
    plan : Plan
        The plan.
    near : int
        Pairs of neighbours that look alike (see ``api.pattern.variants.near_pairs``).
    """
    fabrics = number(len(plan.choice.kept) if plan.choice else 0, "fabric")
    yield f"{fabrics} on {called(plan, plan.background)}" if plan.background else fabrics
    yield by(plan.brief.size(), plan.brief.units)
    if not plan.quality:
        yield "not laid out yet"
        return
    closest, reach = plan.quality.closest, plan.quality.reach
    yield f"neighbours differ by {apart(closest)} or more; {tenths(reach)} can be reached"
    alike = f"{number(near, 'pair')} of neighbours look" if near > 1 else (
        f"{'one' if near else 'no'} pair of neighbours looks"
    )  # fmt: skip
    yield f"{alike} alike, less than {plan.brief.limits.clear:g} apart"
    if plan.quality.copies_apart:
        yield f"one fabric comes again after {plan.quality.copies_apart:.1f} blocks"
