"""Places in a photo."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from palette.photo.box import Box

corners = st.tuples(*[st.floats(0, 0.45), st.floats(0, 0.45), st.floats(0.5, 1), st.floats(0.5, 1)])


@given(corners, st.integers(16, 4000), st.integers(16, 4000))
def test_a_box_in_pixels_lies_inside_the_photo_and_is_never_empty(
    parts: tuple[float, float, float, float], width: int, height: int
) -> None:
    left, top, right, bottom = Box(*parts).pixels(width, height)
    assert 0 <= left < right <= width
    assert 0 <= top < bottom <= height


@given(st.tuples(*[st.floats(0.1, 0.4)] * 2, *[st.floats(0.6, 0.9)] * 2))
def test_the_rest_beside_a_box_does_not_touch_it(parts: tuple[float, float, float, float]) -> None:
    box = Box(*parts)
    rest = box.rest(0.02)
    assert (
        rest.right <= box.left
        or rest.left >= box.right
        or rest.bottom <= box.top
        or rest.top >= box.bottom
    )


def test_text_is_read_as_a_box_or_a_point() -> None:
    assert Box.parse("0.1, 0.2,0.3,0.4") == Box(0.1, 0.2, 0.3, 0.4)
    point = Box.parse("0.5,0.25")
    assert point.left < 0.5 < point.right
    assert point.top < 0.25 < point.bottom
    assert Box.parse(str(Box(0.1, 0.2, 0.3, 0.4))) == Box(0.1, 0.2, 0.3, 0.4)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("here", "'here' is no place"),
        ("0.1,0.2,0.3", "has 3 numbers"),
        ("0.3,0.2,0.1,0.4", "no part of a photo"),
        ("0,0,1,1.5", "no part of a photo"),
        ("1.5,0.2", "outside the photo"),
        ("nan,0,1,1", "no part of a photo"),
    ],
)
def test_what_is_no_place_is_refused_with_an_example(text: str, said: str) -> None:
    with pytest.raises(ValueError, match=said) as caught:
        Box.parse(text)
    assert "0.05,0.8,0.2,0.95" in str(caught.value)


def test_a_box_that_fills_the_photo_leaves_no_room() -> None:
    with pytest.raises(ValueError, match="nothing is left for the cloth"):
        Box(0, 0, 1, 1).rest()
