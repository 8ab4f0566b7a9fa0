"""The drawings that lie beside a plan."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.files import write_whole

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping
    from pathlib import Path

    from api.pattern.plan import Plan

DRAWINGS = ("picks.png", "layout.svg", "layout.png", "grey.png")
"""Their names."""


def draw(
    plan: Plan,
    pictures: Mapping[str, bytes],
    folder: Path,
    names: Collection[str] = DRAWINGS,
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
    }
    for name, make in made.items():
        if name in names:
            write_whole(folder / name, make())
            each()
