"""The cutting commands: what to cut, what it fits, which sizes suit a pre-cut or a bed."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from api.cli.options import USUAL, add_block, add_sashing, borders, length, own_block, sashed, whole
from placement.cloth.forms import FORMS
from placement.inches import Inches
from placement.top.setting.setting import Kind, Setting

if TYPE_CHECKING:
    import argparse

    from api.pattern.brief import Brief
    from api.pattern.cut_book import CutBook
    from api.pattern.plan import Plan
    from api.pattern.sewing import OwnCloth, Units


_DECISIONS = ("form", "seam", "triangles", "side_square", "corner_square", "binding", "grain",
              "join", "corner", "shrinkage")  # fmt: skip
"""Options that are terms of sewing under the same name."""


def add_cut(cut: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell cut``."""
    add = cut.add_argument
    add("plan", type=Path, metavar="PLAN.JSON", help="a plan that 'spreadwell plan' wrote")
    add("--form", choices=FORMS, default=None, help="form the fabrics come in (fat quarter)")
    add("--cloth", action="append", default=[], metavar="FABRIC=FORM",
        help="form of one fabric, such as quince-dots='fat eighth'; may be repeated")  # fmt: skip
    add("--seam", type=length, metavar="INCHES",
        help="seam allowance (1/4; 7.5 mm in metric work)")  # fmt: skip
    add("--triangles", choices=("one", "two", "four", "eight"), help="half-square units at a time")
    add("--side-square", type=length, metavar="INCHES",
        help="your own square for side triangles: what does it do to the points?")  # fmt: skip
    add("--corner-square", type=length, metavar="INCHES", help="the same for corner triangles")
    add("--binding", type=length, metavar="INCHES",
        help="width to cut the binding (2 1/2; 65 mm in metric work)")  # fmt: skip
    add("--grain", choices=("straight", "bias"), help="of the binding (straight)")
    add("--join", choices=("diagonal", "straight"), help="of binding strips (diagonal)")
    add("--corner", choices=("butted", "mitred"), help="corners of borders (butted)")
    add("--shrinkage", type=float, metavar="PER CENT",
        help="what yardage loses in the wash, 0 to 20; pre-cuts are cut unwashed (3)")  # fmt: skip
    add("--out", type=Path, metavar="FOLDER", help="write cutting.txt, cutting.json and drawings")


def run_cut(wish: argparse.Namespace) -> int:
    """Print the cut book of a plan and write its drawings; 1 if some cloth does not suffice."""
    from api.pattern.cut_book import cut_book
    from api.pattern.planner import check_names
    from api.pattern.stored import from_json
    from api.wording.cutting import cutting_text

    try:
        plan = from_json(wish.plan.read_bytes())
        plan = replace(plan, brief=_decided(plan.brief, wish))
        check_names(plan)
        book = cut_book(plan)
    except OSError as error:
        print(f"{wish.plan}: can't be read ({error.strerror or error})", file=sys.stderr)
        return 2
    except ValueError as error:
        print(f"{wish.plan}: {error}", file=sys.stderr)
        return 2
    text = cutting_text(plan, book)
    print(text, end="")
    if wish.out:
        _write(plan, book, text, wish.out)
    return 1 if book.problems else 0


def _decided(brief: Brief, wish: argparse.Namespace) -> Brief:
    decided: dict[str, Any] = {name: getattr(wish, name) for name in _DECISIONS}
    decided["cloths"] = tuple(_own_cloth(text, brief) for text in wish.cloth) or None
    given = {name: value for name, value in decided.items() if value is not None}
    return replace(brief, sewing=replace(brief.sewing, **given))


def _own_cloth(text: str, brief: Brief) -> OwnCloth:
    from api.pattern.sewing import OwnCloth

    fabric, _, form = text.partition("=")
    known = {swatch.fabric.id for swatch in (*brief.swatches, *brief.backgrounds)}
    if fabric not in known:
        raise ValueError(f"there is no fabric {fabric!r}; write --cloth FABRIC=FORM with its id")
    if form not in FORMS:
        raise ValueError(f"there is no form of cloth {form!r}; choose one of {', '.join(FORMS)}")
    return OwnCloth(fabric, form)


def _write(plan: Plan, book: CutBook, text: str, out: Path) -> None:
    from api.drawing.cutting import cutting_drawing, cutting_png, cutting_svg
    from api.pattern.cut_book import book_json

    out.mkdir(parents=True, exist_ok=True)
    (out / "cutting.txt").write_text(text, encoding="utf-8")
    (out / "cutting.json").write_text(book_json(book), encoding="utf-8")
    for cloth in book.cloths:
        fabric = plan.swatch(cloth.fabric).fabric
        drawing = cutting_drawing(
            cloth, fabric.name, fabric.reads_as, metric=plan.brief.units == "metric"
        )
        (out / f"cut-{fabric.id}.svg").write_text(cutting_svg(drawing), encoding="utf-8")
        (out / f"cut-{fabric.id}.png").write_bytes(cutting_png(drawing))


def add_what_if(what: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell what-if``."""
    add_block(what)
    add = what.add_argument
    add("--form", choices=FORMS, required=True, help="form of cloth")
    add("--from", dest="least", type=length, default=Inches.parse(4), metavar="INCHES",
        help="smallest finished block (%(default)s)")  # fmt: skip
    add("--to", dest="most", type=length, default=Inches.parse(12), metavar="INCHES",
        help="largest finished block (%(default)s)")  # fmt: skip


def run_what_if(wish: argparse.Namespace) -> int:
    """Print which finished sizes use a form of cloth well."""
    from api.pattern.brief import Brief
    from api.wording.cutting import what_if_text
    from placement.cloth.inverse import what_if

    try:
        block = Brief(block=wish.pattern, own_block=own_block(wish)).pattern()
        rows = what_if(block, FORMS[wish.form], wish.least, wish.most)
    except ValueError as error:
        print(error, file=sys.stderr)
        return 2
    print(what_if_text(block.name, FORMS[wish.form], rows), end="")
    return 0


def add_sizes(sizes: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell sizes``."""
    add_block(sizes)
    add = sizes.add_argument
    add("--block", type=length, metavar="INCHES",
        help="finished size of a block (8 1/2; 220 mm in metric work)")  # fmt: skip
    add("--straight", action="store_true", help="straight rows instead of on point")
    add_sashing(sizes)
    add("--drop", type=length, default=Inches.parse(12), metavar="INCHES",
        help="how far the quilt hangs down (%(default)s)")  # fmt: skip
    add("--border", type=length, metavar="INCHES",
        help="least finished border (4; 100 mm in metric work)")  # fmt: skip
    add("--fabrics", type=whole, default=18, metavar="N", help="fabrics used (%(default)s)")
    add("--metric", action="store_true", help="European and British beds, in centimetres")


def run_sizes(wish: argparse.Namespace) -> int:
    """Print blocks, fabrics, borders and yardage for every bed."""
    from api.pattern.bed_sizes import bed_sizes
    from api.pattern.brief import Brief
    from api.pattern.sewing import Sewing
    from api.wording.cutting import sizes_text

    units: Units = "metric" if wish.metric else "inches"
    kind: Kind = "straight" if wish.straight else "on point"
    try:
        brief = Brief(
            setting=sashed(Setting(kind, 1, 1, wish.block or USUAL[units]["block"]), wish),
            block=wish.pattern,
            own_block=own_block(wish),
            borders=borders([(wish.border, "")] if wish.border else None, units),
            sewing=Sewing().in_units(units),
            units=units,
        )
        rows = bed_sizes(brief, float(wish.drop), wish.fabrics)
    except ValueError as error:
        print(error, file=sys.stderr)
        return 2
    print(sizes_text(rows), end="")
    return 0
