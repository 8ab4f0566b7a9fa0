"""Plans made by hand and pictures made by rule, to be drawn."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image

from api.pattern.brief import Band, Brief
from api.pattern.plan import Plan
from api.pattern.swatch import Swatch
from palette.colour import Lab
from palette.fabric import Fabric, Share
from palette.picking.choice import Choice, Contrast, LeftOut, Reason, Verdict, WhyKept
from placement.inches import Inches
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from numpy.typing import NDArray

    from palette.uncertainty import Doubt

LABS = (Lab(30, 20, -40), Lab(55, 50, 30), Lab(70, -30, 40), Lab(45, -25, -5), Lab(62, 5, 60))


def swatch(name: str, lab: Lab, shows: float = 10, directional: bool = False) -> Swatch:
    colours = (Share(lab, 0.75), Share(Lab(lab.lightness, 0, 0), 0.25))
    fabric = Fabric(name, name.replace("-", " ").title(), lab, colours)
    return Swatch(fabric, f"picture-of-{name}", Inches.parse(shows), directional=directional)


def bands(width: float) -> tuple[Band, ...]:
    """Return one border of that width, or none."""
    return (Band(Inches.parse(width)),) if width else ()


@pytest.fixture(scope="session")
def make_plan() -> Callable[..., Plan]:
    """Return a function that makes a plan: fabrics in turn on a pale background."""

    def make(
        setting: Setting,
        block: str = "sawtooth-star",
        border: float = 0,
        holes: Sequence[int] = (),
        directional: bool = False,
        title: str = "Five fabrics",
    ) -> Plan:
        swatches = tuple(
            swatch(f"fabric-{number}", lab, directional=directional)
            for number, lab in enumerate(LABS)
        )
        ground = swatch("ground", Lab(93, 1, 4))
        cells = setting.cells()
        fabrics = tuple(
            "" if index in holes else swatches[index % len(swatches)].fabric.id
            for index in range(len(cells))
        )
        turned = tuple(index for index, cell in enumerate(cells) if cell.row % 2)
        brief = Brief(
            title=title,
            swatches=swatches,
            backgrounds=(ground,),
            background="ground",
            setting=setting,
            block=block,
            borders=bands(border),
        )
        kept = tuple(entry.fabric.id for entry in swatches)
        contrasts = tuple(
            Contrast(name, "ground", Verdict.CLEAR, 40.0, -30.0, 0.0) for name in kept
        )
        choice = Choice(kept, (), 21.0, kept[:2], proved=True)
        layout = Layout(setting, fabrics, turned=turned)
        return Plan(brief, "ground", contrasts, choice, layout, None)

    return make


@pytest.fixture(scope="session")
def bundle_of(make_plan: Callable[..., Plan]) -> Callable[..., Plan]:
    """Return a function that makes a plan of many fabrics, some of them left out."""

    def make(names: Sequence[str], left_out: int = 0, doubt: Doubt | None = None) -> Plan:
        swatches = tuple(
            replace(entry, fabric=replace(entry.fabric, name=name))
            for number, name in enumerate(names)
            for entry in [swatch(f"fabric-{number}", LABS[number % len(LABS)])]
        )
        ids = [entry.fabric.id for entry in swatches]
        kept = tuple(ids[: len(ids) - left_out])
        gone = tuple(
            LeftOut(name, Reason.TWIN, 2.1, 5.0, ids[0], 2.1, 3.2, 0.0, WhyKept.EITHER, doubt)
            if doubt
            else LeftOut(name, Reason.BY_HAND)
            for name in ids[len(kept) :]
        )
        plan = make_plan(Setting("straight", 1, 1, Inches.parse(8)))
        return replace(
            plan,
            brief=replace(plan.brief, swatches=swatches),
            choice=Choice(kept, gone, None, None, proved=False),
            layout=None,
        )

    return make


def as_jpeg(pixels: NDArray[np.uint8]) -> bytes:
    out = BytesIO()
    Image.fromarray(pixels).save(out, "JPEG", quality=95, subsampling=0)
    return out.getvalue()


def slanted(colour: tuple[int, int, int]) -> bytes:
    """Draw stripes at about 27 degrees: they look different when turned or mirrored."""
    y, x = np.mgrid[0:400, 0:400]
    dark = ((x + 2 * y) // 50 % 2).astype(bool)
    pixels = np.full((400, 400, 3), colour, np.uint8)
    pixels[dark] //= 2
    return as_jpeg(pixels)


@pytest.fixture(scope="session")
def pictures() -> Mapping[str, bytes]:
    """Return pictures of the hand-made plans' fabrics: slanted stripes."""
    inks = ((60, 70, 200), (220, 90, 60), (120, 200, 90), (40, 130, 120), (210, 160, 40))
    made = {f"picture-of-fabric-{number}": slanted(ink) for number, ink in enumerate(inks)}
    return made | {"picture-of-ground": slanted((240, 236, 226))}


@pytest.fixture(scope="session")
def inch_grid() -> bytes:
    """Return a picture of cloth 10 inches wide with a thin dark line every inch."""
    pixels = np.full((1000, 1000, 3), 230, np.uint8)
    for line in range(50, 1000, 100):
        pixels[line - 2 : line + 3] = 20
        pixels[:, line - 2 : line + 3] = 20
    return as_jpeg(pixels)
