"""Fixtures shared by the rooms: an invented bundle as values, without photos."""

from __future__ import annotations

import colorsys
import os
from pathlib import Path
from typing import TYPE_CHECKING

import hypothesis
import pytest

from api.pattern.brief import Brief
from api.pattern.swatch import Swatch
from palette.colour import Lab
from palette.fabric import Fabric, Share
from placement.inches import Inches
from placement.top.setting.setting import Setting
from tests.profiles import colour_science, display_p3, make_profile

if TYPE_CHECKING:
    from collections.abc import Callable

__all__ = ["colour_science", "display_p3", "make_profile"]

# One profile for machines of any speed: examples are bounded, time is not.
hypothesis.settings.register_profile(
    "steady", deadline=None, derandomize=bool(os.environ.get("CI")), max_examples=40
)
hypothesis.settings.load_profile("steady")

REPOSITORY = Path(__file__).resolve().parent.parent


def _solid(name: str, lightness: float, a: float, b: float) -> Fabric:
    colour = Lab(lightness, a, b)
    return Fabric(name.lower().replace(" ", "-"), name, colour, (Share(colour, 1.0),))


@pytest.fixture(scope="session")
def solid() -> Callable[[str, float, float, float], Fabric]:
    """Return a maker of plain fabrics: name, L*, a*, b*."""
    return _solid


@pytest.fixture(scope="session")
def brief() -> Brief:
    """Return a brief of 12 invented solids, two of them twins, on two backgrounds."""
    fabrics = []
    for index in range(12):
        hue, value = index / 12, 0.45 + 0.12 * (index % 3)
        red, green, blue = colorsys.hsv_to_rgb(hue, 0.6, value)
        lightness = 25 + 20 * (index % 3)
        fabrics.append(_solid(f"Solid {index}", lightness, 80 * (red - green), 80 * (green - blue)))
    first = fabrics[0].reads_as
    fabrics.append(_solid("Twin of 0", first.lightness + 0.5, first.a, first.b))
    fabrics.append(_solid("Nearly linen", 93, 1, 6))
    grounds = [_solid("Linen", 94, 0, 6), _solid("Ink", 12, 2, -8)]
    return Brief(
        title="Test quilt",
        swatches=tuple(Swatch(fabric, "0" * 64) for fabric in fabrics),
        backgrounds=tuple(Swatch(fabric, "1" * 64) for fabric in grounds),
        background="linen",
        count=8,
        setting=Setting("on point", 4, 5, Inches.parse("8 1/2")),
    )


@pytest.fixture(scope="session")
def demo_photos() -> tuple[Path, ...]:
    """Return the photos of the sample bundle."""
    folder = REPOSITORY / "demo_swatches"
    return tuple(sorted(path for path in folder.iterdir() if path.suffix in {".jpg", ".webp"}))
