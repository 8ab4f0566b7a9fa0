"""The drawing as SVG: well formed, to scale, harmless, and easy to find a block in."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from api.drawing.quilt import quilt_scene
from api.drawing.svg import svg
from api.pattern.plan import Plan
from placement.inches import Inches
from placement.top.setting.setting import Setting

Make = Callable[..., Plan]
Pictures = Mapping[str, bytes]

SMALL = Setting("on point", 3, 3, Inches.parse(8))
KNOWN = {"svg", "title", "desc", "defs", "image", "clipPath", "polygon", "g", "use", "path"}
SVG = "{http://www.w3.org/2000/svg}"


def elements(text: str) -> list[ElementTree.Element]:
    return list(ElementTree.fromstring(text).iter())


def named(text: str, tag: str) -> list[ElementTree.Element]:
    return [element for element in elements(text) if element.tag == SVG + tag]


@pytest.mark.parametrize("view", ["cloth", "flat", "grey"])
def test_one_unit_is_one_inch(make_plan: Make, pictures: Pictures, view: str) -> None:
    setting = Setting("straight", 4, 3, Inches.parse("7 1/4"))
    root = elements(svg(quilt_scene(make_plan(setting, border=2)), pictures, view))[0]
    assert root.get("viewBox") == "0 0 33 25.75"
    assert (root.get("width"), root.get("height")) == ("33in", "25.75in")


def test_it_says_what_it_shows(make_plan: Make, pictures: Pictures) -> None:
    root = elements(svg(quilt_scene(make_plan(SMALL)), pictures, "flat"))[0]
    assert root.get("role") == "img"
    assert root.findtext(SVG + "title") == "Five fabrics"
    assert root.findtext(SVG + "desc") == (
        "A quilt of 13 sawtooth star blocks on point, 3 across and 3 down, in 5 fabrics."
    )


def test_every_block_is_a_group_that_names_its_cell_and_fabric(
    make_plan: Make, pictures: Pictures
) -> None:
    text = svg(quilt_scene(make_plan(SMALL, holes=(4,))), pictures, "cloth")
    groups = [element for element in named(text, "g") if element.get("data-cell")]
    assert [element.get("data-cell") for element in groups] == [str(cell) for cell in range(13)]
    assert groups[1].findtext(SVG + "title") == "row 1, place 3: Fabric 1"
    assert groups[4].findtext(SVG + "title") == "row 2, place 4: plain"


def test_a_fabric_s_picture_is_stored_once(make_plan: Make, pictures: Pictures) -> None:
    text = svg(quilt_scene(make_plan(SMALL, border=3)), pictures, "cloth")
    assert len(named(text, "image")) == 6
    assert len(named(text, "use")) > 13 * 17


def test_nothing_points_outside_and_nothing_runs(make_plan: Make, pictures: Pictures) -> None:
    text = svg(quilt_scene(make_plan(SMALL)), pictures, "cloth")
    for element in elements(text):
        assert element.tag.removeprefix(SVG) in KNOWN
        for name, value in element.attrib.items():
            assert not name.startswith("on")
            assert name != "style"
            if name.endswith("href"):
                assert value.startswith(("#", "data:image/jpeg;base64,"))
            if "url(" in value:
                assert value.startswith("url(#")
    ids = [element.get("id") for element in elements(text) if element.get("id")]
    assert len(ids) == len(set(ids))
    targets = {element.get("href", "")[1:] for element in named(text, "use")}
    assert targets <= set(ids)


@pytest.mark.parametrize(
    "name",
    [
        "</svg><script>alert(1)</script>",
        "]]><!-- & \" ' -->",
        "&lt;img src=x onerror=alert(1)&gt;",
        "藍染めの木綿",
    ],
)
def test_hostile_names_stay_text(make_plan: Make, pictures: Pictures, name: str) -> None:
    plan = make_plan(SMALL, title=name)
    swatches = tuple(
        replace(entry, fabric=replace(entry.fabric, name=name)) for entry in plan.brief.swatches
    )
    plan = replace(plan, brief=replace(plan.brief, swatches=swatches))
    text = svg(quilt_scene(plan), pictures, "cloth")
    assert not named(text, "script")
    assert elements(text)[0].findtext(SVG + "title") == name
    assert f"row 1, place 1: {name}" in [element.text for element in named(text, "title")]


def test_what_xml_can_not_hold_is_dropped(make_plan: Make, pictures: Pictures) -> None:
    # XML 1.0, production 2 (Char): no control characters, surrogates, U+FFFE or U+FFFF.
    title = "a\x00b\x1b\x7f\ud800c\ufffe\uffff d"
    text = svg(quilt_scene(make_plan(SMALL, title=title)), pictures, "flat")
    assert elements(text)[0].findtext(SVG + "title") == "ab\x7fc d"
    text.encode("utf-8")


def test_a_fabric_without_its_picture_is_drawn_flat(make_plan: Make) -> None:
    scene = quilt_scene(make_plan(SMALL))
    assert svg(scene, {}, "cloth").count("<polygon") == svg(scene, {}, "flat").count("<polygon")
    assert not named(svg(scene, {}, "cloth"), "image")


def test_the_grey_view_has_no_colour(make_plan: Make, pictures: Pictures) -> None:
    text = svg(quilt_scene(make_plan(SMALL)), pictures, "grey")
    fills = {polygon.get("fill") for polygon in named(text, "polygon")}
    assert len(fills) == 6
    for fill in fills:
        assert fill is not None
        assert fill[1:3] == fill[3:5] == fill[5:7]


def test_the_same_scene_gives_the_same_text(make_plan: Make, pictures: Pictures) -> None:
    scene = quilt_scene(make_plan(SMALL))
    assert svg(scene, pictures, "cloth") == svg(quilt_scene(make_plan(SMALL)), pictures, "cloth")


def test_an_unknown_view_is_refused(make_plan: Make, pictures: Pictures) -> None:
    with pytest.raises(ValueError, match="there is no view 'picks'"):
        svg(quilt_scene(make_plan(SMALL)), pictures, "picks")
