"""Plans of many kinds, made without arranging: the booklet does not ask how good a layout is."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import replace
from hashlib import sha256
from math import cos, sin

import numpy as np
import pytest
from PIL import Image

from api.booklet.figures import photos
from api.pattern.brief import Band, Brief, Copies, OwnBlock, Pin
from api.pattern.plan import Plan
from api.pattern.planner import look
from api.pattern.sewing import Sewing
from api.pattern.swatch import Swatch
from api.pattern.turning import with_turns
from palette.colour import Lab
from palette.fabric import Fabric, Share
from placement.inches import Inches
from placement.top.setting.layout import Layout
from placement.top.setting.setting import Kind, Setting

Maker = Callable[..., Plan]


def _swatch(
    label: str, name: str, lightness: float, directional: bool = False, hue: float = -1.03
) -> Swatch:
    colour = Lab(lightness, 23.3 * cos(hue), 23.3 * sin(hue))
    fabric = Fabric(label, name, colour, (Share(colour, 1.0),))
    return Swatch(fabric, _picture(label), directional=directional)


def _picture(label: str) -> str:
    """Name a fabric's picture as stored ones are named: by a SHA-256."""
    return sha256(label.encode()).hexdigest()


def _plan(
    names: tuple[str, ...] = ("Rose", "Moss", "Slate"),
    kind: Kind = "on point",
    across: int = 3,
    down: int = 4,
    block: str = "8 1/2",
    pattern: str = "sawtooth-star",
    *,
    title: str = "Test quilt",
    background: str = "Linen",
    border: str = "4",
    units: str = "inches",
    alternate: bool = False,
    directional: bool = False,
    turn: bool = True,
    holes: tuple[int, ...] = (),
    own_block: OwnBlock | None = None,
    sewing: Sewing | None = None,
    borders: tuple[Band, ...] = (),
    sashing: str = "0",
    cornerstones: bool = False,
    **uses: str,
) -> Plan:
    setting = Setting(kind, across, down, Inches.parse(block), alternate, Inches.parse(sashing),
                      cornerstones)  # fmt: skip
    swatches = tuple(
        # Of many fabrics no two are alike: hues go round by the golden angle.
        _swatch(
            f"fabric-{n}",
            name,
            20 + 50 * n / len(names),
            directional,
            -1.03 + 2.4 * n * (len(names) > 8),
        )
        for n, name in enumerate(names)
    )
    cells = range(len(setting.cells()))
    fabrics = tuple("" if c in holes else f"fabric-{c % len(names)}" for c in cells)
    copies = tuple(Copies(name, fabrics.count(name)) for name in dict.fromkeys(fabrics) if name)
    brief = Brief(
        title=title,
        swatches=swatches,
        backgrounds=(_swatch("ground", background, 93),),
        setting=setting,
        block=pattern,
        own_block=own_block,
        copies=copies,
        pins=tuple(Pin(cell, "") for cell in holes),
        borders=borders or ((Band(Inches.parse(border)),) if border != "0" else ()),
        **uses,
        turn=turn,
        sewing=sewing or Sewing(),
        units="metric" if units == "metric" else "inches",
    )
    # What is said of the picks is judged too, so that they are made as a planner makes them.
    plan = Plan(brief, "ground", (), look(brief).choice, Layout(setting, fabrics), None)
    return replace(plan, layout=with_turns(plan, Layout(setting, fabrics)))


@pytest.fixture(autouse=True, scope="session")
def small_quilt() -> Iterator[None]:
    """Paint the cover's quilt small: that takes longest and no test looks at it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(photos, "QUILT_PIXELS", 160)
        yield


@pytest.fixture(scope="session")
def plan_of() -> Maker:
    """Return the maker of plans."""
    return _plan


@pytest.fixture(scope="session")
def pictures() -> dict[str, bytes]:
    """Return a photo of every fabric of a plan of three."""
    rng = np.random.default_rng(5)
    found = {}
    for label in ("fabric-0", "fabric-1", "fabric-2", "ground"):
        pixels = rng.integers(60, 200, (90, 90, 3)).astype(np.uint8)
        out = io.BytesIO()
        Image.fromarray(pixels).save(out, "JPEG")
        found[_picture(label)] = out.getvalue()
    return found
