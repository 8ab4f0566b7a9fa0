"""The booklet command: from a plan on disk to the pattern as a PDF or a web page."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

from api.booklet.edition import INKS, PAPERS
from api.cli.check import refused
from api.cli.options import length, photo_at, pictures_of, plan_at
from api.files import read_bounded, write_whole

if TYPE_CHECKING:
    import argparse

    from api.booklet.edition import Edition
    from placement.inches import Units


def add_booklet(booklet: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell booklet``."""
    add = booklet.add_argument
    add("plan", type=Path, metavar="PLAN.JSON", help="a plan that 'spreadwell plan' wrote")
    add("--pictures", type=Path, metavar="FOLDER",
        help="the fabrics' pictures (the folder 'pictures' beside the plan)")  # fmt: skip
    add("--title", default="", help="title on the cover (the plan's)")
    add("--designer", default="", metavar="NAME", help="name on the cover")
    add("--introduction", type=Path, metavar="FILE", help="text file with your opening words")
    add("--notes", type=Path, metavar="FILE", help="text file with your closing words")
    add("--photo", action="append", default=[], type=Path, metavar="PHOTO",
        help="your own photo of the quilt; may be repeated")  # fmt: skip
    add("--paper", choices=PAPERS, default="letter", help="paper (%(default)s)")
    add("--ink", choices=INKS, default="colour", help="'black' saves ink (%(default)s)")
    add("--large-print", action="store_true", help="type of 14 points in one column")
    add("--beds", type=length, metavar="DROP",
        help="add a table of bed sizes with this drop, such as 12; cm in metric work")  # fmt: skip
    add("--out", type=Path, required=True, metavar="FILE",
        help="where to write it: a name ending in .pdf or .html")  # fmt: skip


def run_booklet(wish: argparse.Namespace) -> int:
    """Write the booklet of a plan; 2 if it can't be made, 1 if a judge finds fault with it."""
    from api.pattern.faulty import FaultsError

    try:
        made = _made(wish)
    except ValueError as error:
        print(f"spreadwell: {error}", file=sys.stderr)
        return 2
    except FaultsError as error:
        return refused(wish.plan, error)
    wish.out.parent.mkdir(parents=True, exist_ok=True)
    write_whole(wish.out, made)
    print(f"Written to {wish.out}")
    return 0


def _made(wish: argparse.Namespace) -> bytes:
    from api.booklet.output.pages import booklet_pdf
    from api.booklet.output.web import booklet_html
    from api.pattern.planner import check_names

    if wish.out.suffix not in (".pdf", ".html"):
        raise ValueError(f"{wish.out} is no name for a booklet; end it in .pdf or .html")
    plan = plan_at(wish.plan)
    check_names(plan)
    folder = wish.pictures or wish.plan.parent / "pictures"
    pictures = pictures_of(plan, folder)
    if not pictures:
        print(f"{folder}: no pictures; fabrics are shown in flat colours", file=sys.stderr)
    edition = _edition(wish, plan.brief.units)
    if wish.out.suffix == ".pdf":
        return booklet_pdf(plan, pictures, edition)
    return booklet_html(plan, pictures, edition).encode()


def _edition(wish: argparse.Namespace, units: Units) -> Edition:
    from api.booklet.edition import Edition

    return Edition(
        title=wish.title,
        designer=wish.designer,
        introduction=_text(wish.introduction),
        notes=_text(wish.notes),
        photos=tuple(photo_at(path) for path in wish.photo),
        paper=wish.paper,
        ink=wish.ink,
        drop=wish.beds and wish.beds.read(units),
        large=wish.large_print,
    )


def _text(path: Path | None) -> str:
    return read_bounded(path, _MOST_WORDS, "a text").decode() if path else ""


_MOST_WORDS = 100_000
"""Bytes of her own words at the beginning or the end."""
