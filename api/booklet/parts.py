"""What a booklet is made of, whatever it is printed on: chapters of steps, tables, figures."""

from __future__ import annotations

from dataclasses import dataclass

from api.booklet.edition import Ink, Paper


@dataclass(frozen=True, slots=True)
class Figure:
    """A picture with its words."""

    picture: str | bytes
    """SVG text, or JPEG or PNG bytes."""
    width: float
    """Width on paper, inches."""
    height: float
    """Height on paper, inches."""
    alt: str
    """What is to be seen, for those who do not see it."""
    caption: str = ""
    """Words under it."""


@dataclass(frozen=True, slots=True)
class Words:
    """Paragraphs."""

    lines: tuple[str, ...]
    """One paragraph each."""
    small: bool = False
    """Whether they are set small."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading inside a chapter."""

    text: str
    """What it says."""


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list in no particular order."""

    lines: tuple[str, ...]
    """One entry each."""


@dataclass(frozen=True, slots=True)
class Steps:
    """Numbered steps, one action each, with the figures that show them."""

    lines: tuple[str, ...]
    """One step each."""
    figures: tuple[Figure, ...] = ()
    """Shown above the steps, side by side."""


@dataclass(frozen=True, slots=True)
class Table:
    """Rows under headings."""

    columns: tuple[str, ...]
    """Heading of each column."""
    rows: tuple[tuple[str | Figure, ...], ...]
    """As many cells as there are columns."""
    wide: tuple[int, ...] = (0,)
    """Numbers of the columns that share the room that is left."""
    across: bool = False
    """Whether it takes the whole width of the page, not of one column."""


@dataclass(frozen=True, slots=True)
class Gallery:
    """Figures side by side, as many as the page is wide."""

    figures: tuple[Figure, ...]
    """In reading order."""
    across: bool = False
    """Whether it takes the whole width of the page, not of one column."""


Part = Words | Heading | Bullets | Steps | Table | Gallery


@dataclass(frozen=True, slots=True)
class Chapter:
    """One chapter."""

    title: str
    """Its heading."""
    parts: tuple[Part, ...]
    """In reading order."""
    new_page: bool = True
    """Whether it opens a page."""


@dataclass(frozen=True, slots=True)
class Booklet:
    """A whole pattern, ready for paper or screen."""

    title: str
    """On the cover and in the file's data about itself."""
    designer: str
    """'' if none is given."""
    facts: tuple[tuple[str, str], ...]
    """What stands under the quilt on the cover, each with what it is: finished size first."""
    cover: Figure
    """The quilt."""
    chapters: tuple[Chapter, ...]
    """In reading order."""
    paper: Paper
    """What it is set for."""
    ink: Ink
    """Colour, or black to save ink."""
    large: bool = False
    """Whether it is set in large print."""
