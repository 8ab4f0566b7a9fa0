"""The drawings that lie beside a plan."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from api.files import write_whole
from palette.eyes import Eyes

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping
    from pathlib import Path

    from api.pattern.plan import Plan

USUAL = ("picks.png", "layout.svg", "layout.png", "grey.png")
"""Names of those that go with every plan."""

DRAWINGS = (*USUAL, *(f"{eyes}.png" for eyes in Eyes))
"""Names of all; the last as colour-blind eyes see the quilt."""


def draw(
    plan: Plan,
    pictures: Mapping[str, bytes],
    folder: Path,
    names: Collection[str] = USUAL,
    each: Callable[[], object] = lambda: None,
) -> None:
    """Write drawings of a plan into a folder; without a layout there is but the contact sheet.

    Parameters
    ----------
    plan : Plan
        What is drawn.
    pictures : Mapping[str, bytes]
        The fabrics' pictures by name.
    folder : Path
        Where to; it is there already.
    names : Collection[str]
        Which of them.
    each : Callable[[], object]
        Called after every one.
    """
    from api.drawing.contact_sheet import picks_png
    from api.drawing.png import png
    from api.drawing.quilt import quilt_scene
    from api.drawing.svg import svg

    if "picks.png" in names:
        write_whole(folder / "picks.png", picks_png(plan, pictures))
        each()
    if plan.layout is None:
        return
    scene = quilt_scene(plan)
    made: dict[str, Callable[[], bytes]] = {
        "layout.svg": lambda: svg(scene, pictures, "cloth").encode(),
        "layout.png": lambda: png(scene, pictures, "cloth"),
        "grey.png": lambda: png(scene, pictures, "grey"),
    } | {f"{eyes}.png": partial(png, scene, pictures, eyes) for eyes in Eyes}
    for name, make in made.items():
        if name in names:
            write_whole(folder / name, make())
            each()
