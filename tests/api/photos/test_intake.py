"""Names and ids of uploads, whatever they call themselves."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from api.pattern.edits import new_id
from api.pattern.swatch import LONGEST_NAME
from api.photos.intake import spoken_name


@given(st.text())
def test_a_spoken_name_is_short_printable_and_never_a_path(filename: str) -> None:
    name = spoken_name(filename)
    assert 1 <= len(name) <= LONGEST_NAME
    assert name.isprintable()
    assert "/" not in name


@given(st.lists(st.text(), max_size=12))
def test_ids_never_meet(names: list[str]) -> None:
    taken: set[str] = set()
    for name in names:
        label = new_id(name, taken)
        assert label not in taken
        assert label.replace("-", "").isalnum()
        assert label.isascii()
        assert label == label.lower()
        taken.add(label)


def test_a_path_in_a_name_is_cut_away_on_both_kinds_of_machine() -> None:
    assert spoken_name("../../etc/moss.jpg") == "moss"
    assert spoken_name("C:\\photos\\moss_green.JPG") == "moss green"
