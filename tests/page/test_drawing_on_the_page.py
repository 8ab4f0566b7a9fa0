"""The page draws the quilt itself; it must be the quilt that the program draws."""

from __future__ import annotations

import io
import urllib.request
from typing import Any

import numpy as np
import pytest
from PIL import Image


@pytest.mark.parametrize(("look", "view", "most"), [("flat", "flat", 3.0), ("grey", "grey", 3.0)])
def test_the_page_and_the_program_draw_the_same_quilt(
    visit: Any, sample: str, address: str, look: str, view: str, most: float
) -> None:
    guest = visit()
    page = guest.open(sample)
    page.check(f"input[name=look][value={look}]", force=True)
    page.wait_for_timeout(200)
    shot = Image.open(io.BytesIO(page.locator(".frame").screenshot())).convert("RGB")
    url = f"{address}/api/plans/{sample}/drawings/{view}.png?width=1000"
    with urllib.request.urlopen(url, timeout=60) as answer:
        drawn = Image.open(io.BytesIO(answer.read())).convert("RGB").resize(shot.size)
    mine, theirs = np.asarray(shot, float), np.asarray(drawn, float)
    # A block turned the wrong way or in a wrong place makes more than 10 of 255.
    assert np.abs(mine - theirs).mean() < most
