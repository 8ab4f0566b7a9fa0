"""What is kept is pixels: anything beside them, and anything damaged, is refused."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from palette.photo.kept import check_kept
from palette.photo.open import PhotoError

if TYPE_CHECKING:
    from collections.abc import Callable


def picture(side: int = 64, mode: str = "RGB", form: str = "JPEG", **more: object) -> bytes:
    out = io.BytesIO()
    image = Image.effect_noise((side, side), 60).convert(mode)
    image.save(out, form, **more)
    return out.getvalue()


def exif() -> bytes:
    # Exif 2.32: the artist is tag 0x013B.
    tags = Image.Exif()
    tags[0x013B] = "Somebody"
    return tags.tobytes()


@pytest.mark.parametrize("more", [{}, {"progressive": True}, {"optimize": True}, {"quality": 20}])
def test_plain_pictures_pass(more: dict[str, object]) -> None:
    check_kept(picture(**more), "one")


PLANTED: dict[str, Callable[[], bytes]] = {
    "metadata": lambda: picture(exif=exif()),
    "a comment": lambda: picture(comment=b"hello"),
    "a profile": lambda: picture(icc_profile=b"x" * 200),
    "a page after the end": lambda: picture() + b"<script>alert(1)</script>",
    "a second picture": lambda: picture() + picture(),
    "another form": lambda: picture(form="PNG"),
    "grey": lambda: picture(mode="L"),
    "too many pixels": lambda: picture(side=2100),
    "the first half": lambda: picture()[: len(picture()) // 2],
    "nothing": lambda: b"",
    "no picture": lambda: b"\xff\xd8\xff\xd9",
    "an archive": lambda: b"PK\x03\x04" + bytes(40),
}


@pytest.mark.parametrize("what", PLANTED)
def test_what_is_more_or_less_than_pixels_is_refused(what: str) -> None:
    with pytest.raises(PhotoError, match="the picture one is not one that this program keeps"):
        check_kept(PLANTED[what](), "one")


def test_the_copy_of_a_whole_photo_may_be_larger_and_bring_its_colours(display_p3: bytes) -> None:
    copy = picture(side=1900, icc_profile=display_p3)
    check_kept(copy, "one", photo=True)
    check_kept(picture(side=1900), "one", photo=True)
    for what in ("metadata", "a comment", "a profile", "a page after the end", "too many pixels"):
        with pytest.raises(PhotoError, match="the picture one is not one"):
            check_kept(PLANTED[what](), "one", photo=True)
    with pytest.raises(PhotoError, match="more than pixels"):
        check_kept(copy, "one")
