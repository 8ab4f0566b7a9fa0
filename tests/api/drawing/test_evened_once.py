"""A fabric's picture is opened and evened once, however many drawings show it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.drawing import cloth as drawn_cloth
from api.drawing.contact_sheet import picks_png
from api.drawing.png import png
from api.drawing.quilt import quilt_scene
from api.drawing.svg import svg
from placement.inches import Inches
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    import pytest
    from PIL import Image

    from api.pattern.plan import Plan


def test_drawings_of_all_forms_even_each_picture_once(
    make_plan: Callable[..., Plan],
    pictures: Mapping[str, bytes],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    evened: list[Image.Image] = []
    real = drawn_cloth.evenly_lit

    def counted(image: Image.Image) -> Image.Image:
        evened.append(image)
        return real(image)

    monkeypatch.setattr(drawn_cloth, "evenly_lit", counted)
    monkeypatch.setattr(drawn_cloth, "_evened", type(drawn_cloth._evened)(10**9))
    plan = make_plan(Setting("on point", 3, 3, Inches.parse(6)))
    scene = quilt_scene(plan)
    first = png(scene, pictures, "cloth", 600)
    svg(scene, pictures, "cloth")
    picks_png(plan, pictures)
    assert png(scene, pictures, "cloth", 600) == first
    shown = {entry.picture for entry in plan.brief.everything()}
    assert len(evened) == len({pictures[name] for name in shown})
