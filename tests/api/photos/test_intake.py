"""Names and ids of uploads, whatever they call themselves."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from api.pattern.edits import new_id
from api.pattern.swatch import LONGEST_NAME
from api.photos.intake import is_cameras_name, spoken_name


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


@pytest.mark.parametrize(
    "name",
    [
        *("IMG_1234.JPG", "IMG_20240309_101112.jpg", "IMG-20240309-WA0007.jpg", "IMG_E1234.HEIC"),
        *("DSC01234.JPG", "_DSC1234.jpg", "DSCN0001.jpg", "DSCF1234.jpg", "P1010001.JPG"),
        *("PXL_20240309_101112345.jpg", "20240309_101112.jpg", "2024-03-09 10.11.12.jpg"),
        *("image.png", "image (3).jpg", "photo-2.jpeg", "123456.jpg", "C:\\camera\\IMG_1.jpg"),
        "0f8fad5b-d9cb-469f-a165-70867728950e.jpg",
    ],
)
def test_names_of_cameras_and_phones_are_told(name: str) -> None:
    assert is_cameras_name(name)


@pytest.mark.parametrize(
    "name",
    ["rust dots.jpg", "moss.png", "blue 2.jpg", "plaid_01.jpg", "photo of moss.jpg", "dusk.jpg",
     "picnic check.jpg", "imgrid.png"],
)  # fmt: skip
def test_names_that_people_gave_are_kept(name: str) -> None:
    assert not is_cameras_name(name)
