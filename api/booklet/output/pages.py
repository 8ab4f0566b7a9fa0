"""A booklet as a PDF: tagged (PDF/UA-1), fonts inside, the same bytes for the same plan.

The typesetter works in a folder of its own that holds the pages' source, the
pictures under names of ours and the typeface; words reach it as JSON data only.
"""

from __future__ import annotations

import json
from dataclasses import replace
from functools import partial
from importlib import resources
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any, Final

from api.booklet.chapters.contents import booklet
from api.booklet.edition import Edition
from api.booklet.output.type import fonts
from api.booklet.parts import Booklet, Figure, Part
from api.drawing.text import showable
from api.pattern.brief import Brief

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from api.pattern.plan import Plan
    from api.pattern.swatch import Swatch

STANDARD: Final = "ua-1"
"""PDF/UA-1 (ISO 14289-1)."""

_TYPE = (9.2, 8.9, 9.5, 8.6, 9.8)
"""Points; sizes of the text, the one that is tried first in front."""
_LARGE_TYPE = (14.0,)
"""Points, for large print. RNIB and the American Printing House ask for 14 at least (from
memory)."""
_LEAST_FILLED = 0.6
"""Of a page before one that begins anew: less looks as if something were missing."""
_PAPERS = {"letter": "us-letter", "a4": "a4"}
_UNSHOWN = "could not be displayed"
"""What the typesetter says of a letter that no font has."""


def booklet_pdf(plan: Plan, pictures: Mapping[str, bytes], edition: Edition | None = None) -> bytes:
    """Return a plan's booklet as a PDF.

    Letters that the typefaces inside lack are set in a font of the machine; if
    it has none either, names lose them.

    Parameters
    ----------
    plan : Plan
        A plan with a layout and a background.
    pictures : Mapping[str, bytes]
        JPEG bytes by name; a fabric without its picture is shown in its flat colour.
    edition : Edition | None
        What the designer adds; a plain letter-size edition unless given.

    Raises
    ------
    ValueError
        If the plan has no layout or background, or something can't be cut.
    """
    edition = edition or Edition()
    made = booklet(plan, pictures, edition)
    for system_fonts in (False, True):
        try:
            return typeset(made, system_fonts=system_fonts)
        except UnshownLetterError:
            continue
    return typeset(booklet(_plain(plan), pictures, _plain_edition(edition)))


class UnshownLetterError(Exception):
    """No font has a letter that the booklet needs."""


def typeset(made: Booklet, *, system_fonts: bool = False) -> bytes:
    """Set a booklet.

    Raises
    ------
    UnshownLetterError
        If no font has one of its letters.
    """
    import typst

    with TemporaryDirectory() as folder:
        files = _Files(Path(folder))
        data = json.dumps(_book(made, files))
        type_folder = files.folder / "type"
        type_folder.mkdir()
        for name, font in fonts().items():
            (type_folder / name).write_bytes(font)
        source = Path(folder) / "pages.typ"
        source.write_bytes((resources.files("api.booklet.output") / "pages.typ").read_bytes())
        setter = partial(
            typst.Compiler,
            str(source),
            root=folder,
            font_paths=[str(type_folder)],
            ignore_system_fonts=not system_fonts,
            package_path=folder,
            package_cache_path=folder,
        )
        try:
            ways = [
                setter(sys_inputs={"book": data, "type": str(size), "flowing": flowing})
                for size in (_LARGE_TYPE if made.large else _TYPE)
                for flowing in ("no", "yes")
            ]
            found: bytes = _fullest(ways).compile(format="pdf", pdf_standards=STANDARD, timestamp=0)
        except typst.TypstError as error:
            if _UNSHOWN in str(error):
                raise UnshownLetterError(str(error)) from None
            raise
        return found


def _fullest(ways: list[Any]) -> Any:
    """Return the first way to set the pages that leaves none half empty, or the fullest."""
    judged = []
    for way in ways:
        least, pages = _least_filled(json.loads(way.query("<mark>", "value")))
        if least >= _LEAST_FILLED:
            return way
        judged.append((least, -pages))
    return ways[judged.index(max(judged))]


def _least_filled(marks: list[dict[str, Any]]) -> tuple[float, int]:
    """Return how full the emptiest page but the last is, and how many pages there are.

    It is none at all where a heading and its drawing are on two pages.
    """
    drawn = {mark["page"] for mark in marks if mark["what"] == "drawing"}
    if any(mark["what"] == "heading" and mark["page"] not in drawn for mark in marks):
        return 0.0, marks[-1]["page"]
    ends = [mark for mark in marks if mark["what"] == "end" and mark["page"] not in drawn]
    pages: int = marks[-1]["page"]
    return min((_filled(end) for end in ends if end["page"] < pages), default=1.0), pages


def _filled(end: Mapping[str, float]) -> float:
    """Return how much of a page of two columns lies before a place on it; none is all of it."""
    down = (end["y"] - end["top"]) / end["high"]
    first_column = end["x"] < end["middle"]
    return (down / 2 if first_column else 0.5 + down / 2) or 1.0


class _Files:
    """Writes pictures into a folder, each under a number."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._names: dict[str | bytes, str] = {}

    def add(self, picture: str | bytes) -> str:
        """Keep a picture once; return its name."""
        if picture not in self._names:
            data = picture.encode() if isinstance(picture, str) else picture
            name = f"{len(self._names) + 1}.{_ending(picture)}"
            (self.folder / name).write_bytes(data)
            self._names[picture] = name
        return f"/{self._names[picture]}"


def _ending(picture: str | bytes) -> str:
    if isinstance(picture, str):
        return "svg"
    return "png" if picture.startswith(b"\x89PNG") else "jpg"


def _book(made: Booklet, files: _Files) -> dict[str, Any]:
    return {
        "title": made.title,
        "designer": made.designer,
        "facts": made.facts,
        "columns": 1 if made.large else 2,
        "paper": _PAPERS[made.paper],
        "cover": _figure(made.cover, files),
        "chapters": [
            {
                "title": chapter.title,
                "new_page": chapter.new_page,
                "parts": [_part(part, files) for part in chapter.parts],
            }
            for chapter in made.chapters
        ],
    }


def _part(part: Part, files: _Files) -> dict[str, Any]:
    data: dict[str, Any] = {"kind": type(part).__name__.lower()}
    for name in part.__slots__:
        data[name] = _value(getattr(part, name), files)
    return data


def _value(value: Any, files: _Files) -> Any:
    if isinstance(value, Figure):
        return _figure(value, files)
    if isinstance(value, tuple):
        return [_value(entry, files) for entry in value]
    return value


def _figure(figure: Figure, files: _Files) -> dict[str, Any]:
    return {
        "file": files.add(figure.picture),
        "width": figure.width,
        "alt": figure.alt,
        "caption": figure.caption,
    }


def _plain(plan: Plan) -> Plan:
    """Return a plan whose names hold only letters of the typeface."""
    brief = plan.brief
    return replace(
        plan,
        brief=replace(
            brief,
            title=showable(brief.title, Brief().title),
            swatches=tuple(_renamed(brief.swatches, "Fabric")),
            backgrounds=tuple(_renamed(brief.backgrounds, "Background")),
            threads=tuple(_renamed(brief.threads, "Thread")),
        ),
    )


def _renamed(swatches: tuple[Swatch, ...], noun: str) -> Iterator[Swatch]:
    for number, swatch in enumerate(swatches, 1):
        name = showable(swatch.fabric.name, f"{noun} {number}")
        yield replace(swatch, fabric=replace(swatch.fabric, name=name))


def _plain_edition(edition: Edition) -> Edition:
    return replace(
        edition,
        title=showable(edition.title),
        designer=showable(edition.designer),
        introduction=_plain_lines(edition.introduction),
        notes=_plain_lines(edition.notes),
    )


def _plain_lines(text: str) -> str:
    return "\n".join(showable(line) for line in text.splitlines())
