"""Plans of invented solids, looked at but not arranged."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from api.pattern.brief import Brief
from api.pattern.planner import look
from api.pattern.swatch import Swatch
from palette.colour import Lab
from palette.fabric import Fabric, Share

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

    from api.pattern.plan import Plan

CREAM = Lab(92.0, 0.0, 8.0)


def solid(name: str, *lab: float, parts: tuple[tuple[Lab, float], ...] = ()) -> Fabric:
    """Return a fabric of one colour, or of the given parts."""
    colour = Lab(*lab)
    shares = tuple(Share(*part) for part in parts) or (Share(colour, 1.0),)
    return Fabric(name.lower().replace(" ", "-"), name, colour, shares)


@pytest.fixture
def looked() -> Callable[..., Plan]:
    """Return a function that picks among fabrics on cream linen, or on another ground."""

    def made(
        fabrics: Collection[Fabric],
        count: int | None = None,
        *,
        ground: Fabric | None = None,
        bare: bool = False,
        must: Collection[str] = (),
        leave: Collection[str] = (),
        **decided: Any,
    ) -> Plan:
        swatches = tuple(
            Swatch(each, "", must_use=each.id in must, leave_out=each.id in leave)
            for each in fabrics
        )
        cream = ground or solid("Cream linen", *CREAM.array())
        grounds = () if bare else (Swatch(cream, ""),)
        return look(Brief(swatches=swatches, backgrounds=grounds, count=count, **decided))

    return made
