"""The contact sheet: complete, legible with any names, and never overflowing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np
import pytest
from PIL import Image

from api.drawing.contact_sheet import WIDTH, picks_png
from api.pattern.plan import Plan
from palette.colour import Lab, to_srgb
from palette.fabric import Share
from palette.picking.choice import Contrast, Verdict
from palette.uncertainty import Doubt

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from api.pattern.swatch import Swatch

Bundle = Callable[..., Plan]
Pictures = Mapping[str, bytes]

MARGIN = 120


def page(data: bytes) -> NDArray[np.uint8]:
    image = Image.open(BytesIO(data))
    assert image.format == "PNG"
    return np.asarray(image)


def area_of(drawn: NDArray[np.uint8], colour: tuple[int, int, int]) -> int:
    return int(np.all(drawn == colour, axis=2).sum())


def without_colour(swatch: Swatch) -> Swatch:
    def toned(colour: Lab) -> Lab:
        return Lab(colour.lightness, 0, 0)

    fabric = swatch.fabric
    colours = tuple(Share(toned(part.colour), part.share) for part in fabric.colours)
    fabric = replace(fabric, reads_as=toned(fabric.reads_as), colours=colours)
    return replace(swatch, fabric=fabric)


@pytest.mark.parametrize(
    "name",
    [
        "Moss",
        "A very long name that no shop would print on a selvage but that someone may well type "
        * 3,
        "Donaudampfschifffahrtselektrizitaetenhauptbetriebswerkbauunterbeamtengesellschaft" * 2,
        "藍染め 🌸",
        "<b>&amp;",
        "",
    ],
)
def test_the_margins_stay_empty_whatever_the_names(
    bundle_of: Bundle, pictures: Pictures, name: str
) -> None:
    plan = bundle_of([name] * 9, left_out=4, doubt=Doubt(0.4, together=False))
    plan = replace(plan, brief=replace(plan.brief, title=name))
    drawn = page(picks_png(plan, pictures))
    assert drawn.shape[1] == WIDTH
    assert drawn[:, :MARGIN].min() == 255
    assert drawn[:, -MARGIN:].min() == 255
    assert drawn[-MARGIN // 2 :].min() == 255


def test_columns_of_cards_keep_apart(bundle_of: Bundle, pictures: Pictures) -> None:
    plan = bundle_of(["An unusually long name for a fabric, longer than its card is wide"] * 8)
    drawn = page(picks_png(plan, pictures))
    gaps = drawn[-900:, [MARGIN + 354 + 24, MARGIN + 2 * 354 + 48 + 24, MARGIN + 3 * 402 - 24]]
    assert gaps.min() == 255


def test_every_fabric_is_shown_chosen_or_left_out(bundle_of: Bundle) -> None:
    plan = bundle_of(["Flat"] * 5, left_out=2)
    drawn = page(picks_png(plan, {}))
    for number, entry in enumerate(plan.brief.swatches):
        card = 354 * 265 if number < 3 else 150 * 150
        assert area_of(drawn, to_srgb(entry.fabric.reads_as)) > 0.7 * card


def test_forty_five_fabrics_fit(bundle_of: Bundle, pictures: Pictures) -> None:
    crowd = bundle_of([f"Fabric {n}" for n in range(45)])
    # What is said of one is longer than a card is wide.
    judged = Contrast("fabric-4", crowd.background, Verdict.CLEAR, 24.0, 40.0, 0.0)
    many = page(picks_png(replace(crowd, contrasts=(judged,)), pictures))
    assert many[:, -MARGIN:].min() == 255
    few = page(picks_png(bundle_of([f"Fabric {n}" for n in range(5)]), pictures))
    assert many.shape[0] > few.shape[0] + 8 * 250


def test_a_longer_reason_takes_more_room(bundle_of: Bundle, pictures: Pictures) -> None:
    doubt = Doubt(0.4, together=False)
    short = picks_png(bundle_of(["Oat"] * 3, left_out=1), pictures)
    long = picks_png(bundle_of(["Oat"] * 3, left_out=1, doubt=doubt), pictures)
    assert page(long).shape[0] > page(short).shape[0]


def test_the_room_around_the_cloth_is_neutral(bundle_of: Bundle) -> None:
    plan = bundle_of(["Oat"] * 3, left_out=1)
    grey = tuple(without_colour(entry) for entry in plan.brief.swatches)
    plan = replace(plan, background="", brief=replace(plan.brief, swatches=grey, backgrounds=()))
    assert np.ptp(page(picks_png(plan, {})), axis=2).max() == 0


def test_the_same_plan_gives_the_same_bytes(bundle_of: Bundle, pictures: Pictures) -> None:
    plan = bundle_of(["Oat", "Rye", "Barley"], left_out=1)
    assert picks_png(plan, pictures) == picks_png(plan, pictures)


def test_an_accent_on_a_capital_is_not_cut_off(bundle_of: Bundle) -> None:
    with_tilde, without = (
        page(picks_png(bundle_of([name] * 2, left_out=1), {})) for name in ("Ñ", "N")
    )
    rows = np.flatnonzero(np.any(with_tilde != without, axis=(1, 2)))
    gaps = np.flatnonzero(np.diff(rows) > 20)
    assert len(gaps) == 2, "the tilde shows on the card, among those left out and in the reason"
