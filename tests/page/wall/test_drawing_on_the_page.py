"""The page draws the quilt itself; it must be the quilt that the program draws."""

from __future__ import annotations

import io
import urllib.request
from typing import Any

import numpy as np
import pytest
from PIL import Image

from tests.page.server import begin, seen

BORDERS = {
    "borders": [{"width": "1 1/2", "fabric": "damson-bloom"}, {"width": "4 1/2"}],
    "binding_fabric": "rosehip-solid",
    "second_fabric": "russet-seed",
    "sewing": {"corner": "mitred"},
}
"""All that lies around the blocks, and a second feature of its own."""


@pytest.mark.parametrize(
    ("wish", "look", "eyes"),
    [({}, "flat", ""), ({}, "flat", "tritan"), (BORDERS, "grey", ""), (BORDERS, "flat", "")],
)
def test_the_page_and_the_program_draw_the_same_quilt(
    visit: Any, address: str, wish: dict[str, Any], look: str, eyes: str
) -> None:
    plan = begin(address, **wish)
    guest = visit()
    page = guest.open(plan)
    page.check(f"input[name=look][value={look}]", force=True)
    page.select_option("#eyes", eyes)
    guest.at_rest()
    shot = Image.open(io.BytesIO(page.locator(".frame").screenshot())).convert("RGB")
    url = f"{address}/api/plans/{plan}/drawings/{eyes or look}.png?width=1000"
    with urllib.request.urlopen(url, timeout=60) as answer:
        drawn = Image.open(io.BytesIO(answer.read())).convert("RGB").resize(shot.size)
    mine, theirs = np.asarray(shot, float), np.asarray(drawn, float)
    # A block turned the wrong way or in a wrong place makes more than 10 of 255.
    assert np.abs(mine - theirs).mean() < (4 if eyes else 3)
    assert np.median(np.abs(mine - theirs)) <= 1


def test_cloth_around_the_blocks_lies_as_the_program_lays_it(visit: Any, address: str) -> None:
    wish = {"setting": {"sashing": "1 1/2"}, "sashing_fabric": "damson-bloom", **BORDERS}
    plan = begin(address, **wish)
    around = seen(address, plan)["around"]
    page = visit().open(plan)
    turns = page.locator("svg.quilt").first.evaluate(
        """quilt => [...quilt.querySelectorAll(':scope > g:first-of-type > path')].map(path => {
             const name = /#([^")]+)/.exec(path.getAttribute('fill'))[1];
             const pattern = quilt.querySelector('#' + CSS.escape(name));
             const turn = pattern.getAttribute('patternTransform') ?? 'rotate(0)';
             return Number(/[0-9.]+/.exec(turn)[0]);
           })"""
    )
    assert turns == [piece["grain"] for piece in around]
    # Sashing on point runs both ways, sides of a border upright.
    assert {45.0, 315.0} <= {piece["grain"] for piece in around if piece["part"] == "sashing"}
    assert {0.0, 90.0} == {piece["grain"] for piece in around if piece["part"] == "border"}
