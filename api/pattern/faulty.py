"""What stops a plan from being told: faults that the judges found."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from api.pattern.plan import Plan
    from placement.checks.fault import Fault


class FaultsError(Exception):
    """The judges find fault with what would be told of a plan; so it is not told."""

    def __init__(self, plan: Plan, faults: Sequence[Fault]) -> None:
        kinds = ", ".join(dict.fromkeys(found.kind for found in faults))
        super().__init__(f"{len(faults)} faults in what is made of the plan: {kinds}")
        self.plan = plan
        self.faults = tuple(faults)
