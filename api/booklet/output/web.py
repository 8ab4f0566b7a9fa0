"""A booklet as one web page that needs nothing from outside: no script, no file beside it."""

from __future__ import annotations

from base64 import b64encode
from html import escape
from importlib import resources
from typing import TYPE_CHECKING

from api.booklet.chapters.contents import booklet
from api.booklet.edition import Edition
from api.booklet.parts import (
    Booklet,
    Bullets,
    Chapter,
    Figure,
    Gallery,
    Heading,
    Part,
    Steps,
    Table,
    Words,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from api.pattern.plan import Plan

_LEAST_FIGURE = 1.3
"""Inches that a figure with its caption takes at least."""

_MOST_COLUMNS = 5
"""Columns of a table that still stand side by side on a telephone."""


def booklet_html(
    plan: Plan,
    pictures: Mapping[str, bytes],
    edition: Edition | None = None,
    trying: str = "",
) -> str:
    """Return a plan's booklet as an HTML document.

    ``trying`` is where a visitor can try the pattern with fabrics of her own; no
    link is shown without it.

    Raises
    ------
    ValueError
        If the plan has no layout or background, or something can't be cut.
    """
    return page(booklet(plan, pictures, edition or Edition()), trying)


def page(made: Booklet, trying: str = "") -> str:
    """Return a booklet as an HTML document, with a link to try the pattern if there is one."""
    link = f'<p><a href="{escape(trying)}">Try this pattern with your own fabrics</a></p>'
    author = f'<meta name="author" content="{escape(made.designer)}">' if made.designer else ""
    chapters = (line for chapter in made.chapters for line in _chapter(chapter))
    return _document(made.title, (*_cover(made), *([link] if trying else []), *chapters), author)


def notice(title: str, words: str) -> str:
    """Return a page that says something where a pattern was looked for."""
    return _document(title, (f"<h1>{_words(title)}</h1>", f"<p>{_words(words)}</p>"))


def _document(title: str, lines: Iterable[str], more: str = "") -> str:
    style = (resources.files("api.booklet.output") / "web.css").read_text(encoding="utf-8")
    return "\n".join(
        (
            '<!doctype html><html lang="en"><head><meta charset="utf-8">',
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{escape(title)}</title>{more}<style>{style}</style></head><body><main>",
            *lines,
            "</main></body></html>\n",
        )
    )


def _cover(made: Booklet) -> Iterator[str]:
    yield f"<header><h1>{_words(made.title)}</h1>"
    if made.designer:
        yield f'<p class="quiet">{_words(made.designer)}</p>'
    yield _figure(made.cover)
    yield '<dl class="facts">'
    yield from (f"<div><dt>{_words(what)}</dt><dd>{_words(told)}</dd></div>"
                for what, told in made.facts)  # fmt: skip
    yield "</dl>"
    yield "</header>"


def _chapter(chapter: Chapter) -> Iterator[str]:
    yield f"<section><h2>{_words(chapter.title)}</h2>"
    for part in chapter.parts:
        yield _part(part)
    yield "</section>"


def _part(part: Part) -> str:
    match part:
        case Words():
            small = ' class="quiet"' if part.small else ""
            return "".join(f"<p{small}>{_words(line)}</p>" for line in part.lines)
        case Heading():
            return f"<h3>{_words(part.text)}</h3>"
        case Bullets():
            return f"<ul>{_items(part.lines)}</ul>"
        case Steps():
            return f"{_gallery(part.figures)}<ol>{_items(part.lines)}</ol>"
        case Table():
            return _table(part)
        case Gallery():
            return _gallery(part.figures)


def _items(lines: tuple[str, ...]) -> str:
    return "".join(f"<li>{_words(line)}</li>" for line in lines)


def _gallery(figures: tuple[Figure, ...]) -> str:
    if not figures:
        return ""
    return f'<div class="gallery">{"".join(map(_figure, figures))}</div>'


def _figure(figure: Figure) -> str:
    caption = f"<figcaption>{_words(figure.caption)}</figcaption>" if figure.caption else ""
    # Words under a small picture make lines no longer than a swatch has room for.
    wide = max(figure.width, _LEAST_FIGURE)
    return f'<figure style="width:{wide:.3f}in">{_image(figure)}{caption}</figure>'


def _image(figure: Figure) -> str:
    if isinstance(figure.picture, str):
        data, kind = figure.picture.encode(), "svg+xml"
    else:
        data = figure.picture
        kind = "png" if data.startswith(b"\x89PNG") else "jpeg"
    return (
        f'<img src="data:image/{kind};base64,{b64encode(data).decode()}" '
        f'alt="{escape(figure.alt)}" style="width:{figure.width:.3f}in">'
    )


def _table(table: Table) -> str:
    head = "".join(
        f'<th scope="col">{_words(name)}</th>' if name else "<td></td>" for name in table.columns
    )
    rows = "".join(f"<tr>{_cells(table, row)}</tr>" for row in table.rows)
    body = f"<thead><tr>{head}</tr></thead><tbody>{rows}</tbody>"
    many = ' class="many"' if _is_wide(table) else ""
    name = escape(", ".join(filter(None, table.columns)))
    return (
        f'<div class="wide" role="region" tabindex="0" aria-label="Table: {name}">'
        f"<table{many}>{body}</table></div>"
    )


def _cells(table: Table, row: tuple[str | Figure, ...]) -> str:
    """Write a row; every cell of a wide table carries its heading, for narrow screens."""
    made = []
    for name, cell in zip(table.columns, row, strict=True):
        said = f' data-name="{escape(name)}"' if name and _is_wide(table) else ""
        made.append(f"<td{said}>{_words(cell) if isinstance(cell, str) else _image(cell)}</td>")
    return "".join(made)


def _is_wide(table: Table) -> bool:
    return len(table.columns) > _MOST_COLUMNS


def _words(text: str) -> str:
    """Escape words for the text of an element."""
    return escape(text, quote=False)
