"""The cutting command: what to cut for a plan, and whether it fits the cloth."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from api.cli.check import refused
from api.cli.decisions import add_decisions, applied, decided_in
from api.cli.options import plan_at
from api.files import whole_folder, write_whole

if TYPE_CHECKING:
    import argparse

    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan


def add_cut(cut: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell cut``."""
    add = cut.add_argument
    add("plan", type=Path, metavar="PLAN.JSON", help="a plan that 'spreadwell plan' wrote")
    add("--dry-run", action="store_true",
        help="answer for these terms without writing them into the plan")  # fmt: skip
    add("--out", type=Path, metavar="FOLDER", help="write cutting.txt, cutting.json and drawings")
    add_decisions(cut, within=("sewing",))


def run_cut(wish: argparse.Namespace) -> int:
    """Print the cut book of a plan and write its drawings; 1 if some cloth does not suffice."""
    from api.pattern.checking import checked_book
    from api.pattern.faulty import FaultsError
    from api.pattern.planner import check_names
    from api.pattern.stored import to_json
    from api.wording.cutting import cutting_text
    from api.wording.history import changed

    try:
        plan = plan_at(wish.plan)
        changes = decided_in(wish)
        plan = replace(plan, brief=applied(plan.brief, changes))
        check_names(plan)
        book = checked_book(plan)
    except OSError as error:
        print(f"{wish.plan}: can't be read ({error.strerror or error})", file=sys.stderr)
        return 2
    except ValueError as error:
        print(f"{wish.plan}: {error}", file=sys.stderr)
        return 2
    except FaultsError as error:
        return refused(wish.plan, error)
    if changes and not wish.dry_run:
        write_whole(wish.plan, to_json(plan).encode())
        print(f"{changed(changes)} in {wish.plan}", file=sys.stderr)
    text = cutting_text(plan, book)
    print(text, end="")
    if wish.out:
        with whole_folder(wish.out) as folder:
            _write(plan, book, text, folder)
    return 1 if book.problems else 0


def _write(plan: Plan, book: CutBook, text: str, out: Path) -> None:
    from api.drawing.cutting import cutting_drawing, cutting_png, cutting_svg
    from api.pattern.cut_book import book_json
    from api.wording.cutting import captions

    (out / "cutting.txt").write_text(text, encoding="utf-8")
    (out / "cutting.json").write_text(book_json(book), encoding="utf-8")
    for cloth in book.cloths:
        fabric = plan.swatch(cloth.fabric).fabric
        told, metric = captions(plan, book, cloth), plan.brief.units == "metric"
        drawing = cutting_drawing(cloth, told, fabric.reads_as, metric=metric)
        name = file_stem(fabric.id, book.which(cloth))
        (out / f"{name}.svg").write_text(cutting_svg(drawing), encoding="utf-8")
        (out / f"{name}.png").write_bytes(cutting_png(drawing))


def file_stem(fabric: str, which: int) -> str:
    """Name the drawing of a cloth: of a fabric's id, which has a part of its own from the second.

    >>> file_stem("moss", 0), file_stem("moss", 1)
    ('cut-moss', 'cut-moss-2')
    """
    # What no path has takes the place of a plain thread's colon.
    name = f"cut-{fabric.replace(':', '-')}"
    return f"{name}-{which + 1}" if which else name
