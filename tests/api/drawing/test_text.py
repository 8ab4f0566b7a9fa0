"""Words on a picture fit, and never break the drawing."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from api.drawing.text import font, showable, wrap


def test_european_names_keep_their_accents() -> None:
    name = "Crème brûlée, größe Ñandú Ærø Őszi žluť 2½ × 9"
    assert showable(name) == name


def test_what_the_typeface_lacks_loses_its_accents_or_stands_aside() -> None:
    assert showable("Vậy") == "Vay"
    assert showable("綿の花", "fabric 7") == "fabric 7"
    assert showable("🌸 Rose 🌸", "fabric 8") == "Rose"
    assert showable("\u202e\x00\ud800", "fabric 9") == "fabric 9"


@given(st.text(max_size=60), st.integers(40, 400))
def test_no_line_is_wider_than_its_room_and_no_letter_is_lost(text: str, width: int) -> None:
    face = font(24)
    shown = showable(text)
    lines = wrap(shown, face, width)
    assert all(face.getlength(line) <= width for line in lines)
    assert "".join(lines).replace(" ", "") == shown.replace(" ", "")


def test_too_many_lines_end_in_three_dots() -> None:
    face = font(24)
    lines = wrap("one two three four five six seven eight nine ten", face, 120, 2)
    assert len(lines) == 2
    assert lines[-1].endswith("...")
    assert all(face.getlength(line) <= 120 for line in lines)
