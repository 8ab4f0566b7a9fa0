"""How a colour was obtained is told as the simulation of photos found it."""

from __future__ import annotations

from dataclasses import replace

from api.wording.provenance import obtained
from palette.colour import Lab
from palette.fabric import Fabric, Share

PLUM = Lab(30.0, 25.0, -5.0)


def _fabric(name: str, **how: str) -> Fabric:
    return replace(Fabric(name, name, PLUM, (Share(PLUM, 1.0),)), **how)  # type: ignore[arg-type]


def test_a_colour_given_by_hand_is_taken_as_it_is() -> None:
    assert "given" in obtained(_fabric("a"), [_fabric("b", photo="1")])


def test_what_corrected_a_colour_is_told() -> None:
    for how, words in (("none", "as photographed"), ("white", "paper"), ("chart", "patches")):
        assert words in obtained(_fabric("a", photo="1", corrected=how), [])


def test_fabrics_in_the_same_photo_are_told_apart_from_those_in_other_light() -> None:
    plum = _fabric("a", photo="1", corrected="white")
    others = [plum, _fabric("b", photo="1", corrected="white"), _fabric("c", photo="2")]
    words = obtained(plum, others)
    assert "in the same photo" in words
    assert "in other light" in words
    assert "in the same light" not in words


def test_differences_across_lights_are_less_sure_than_within_a_photo() -> None:
    # That they are is what simulations found: see palette/uncertainty.json and its source.
    def span(other: Fabric) -> float:
        plum = _fabric("a", photo="1", corrected="none")
        low, high = obtained(plum, [other]).split("truly be ")[1].split(" beside")[0].split(" to ")
        return float(high) - float(low)

    assert span(_fabric("b", photo="2")) > span(_fabric("b", photo="1"))
