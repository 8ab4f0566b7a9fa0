"""The commands on sizes: which suit a form of cloth, and which every bed takes."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

from api.cli.decisions import add_decisions, applied, begun, decided_in
from api.cli.options import Written, length, plan_at
from placement.cloth.forms import SOLD, FormKind, form_of

if TYPE_CHECKING:
    from api.pattern.brief import Brief


_OF_CUTTING = ("block", "own_block", "seam", "triangles", "squaring", "units")
"""Decisions that what a form holds depends on."""


def _form(text: str) -> FormKind:
    """Read a form of cloth as it is sold."""
    if text not in SOLD:
        raise argparse.ArgumentTypeError(
            f"there is no form of cloth '{text}' to be bought; choose one of {'; '.join(SOLD)}"
        )
    return FormKind(text)


def add_what_if(what: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell what-if``."""
    add_decisions(what, within=_OF_CUTTING)
    add = what.add_argument
    add("--plan", type=Path, metavar="PLAN.JSON",
        help="a plan whose block, units and terms of sewing are taken")  # fmt: skip
    add("--form", type=_form, required=True, metavar="FORM",
        help=f"form of cloth (one of {'; '.join(SOLD)})")  # fmt: skip
    add("--from", dest="least", type=length, metavar="LENGTH",
        help="smallest finished block (4 in, or 10 cm in metric work)")  # fmt: skip
    add("--to", dest="most", type=length, metavar="LENGTH",
        help="largest finished block (12 in, or 30 cm in metric work)")  # fmt: skip


def run_what_if(wish: argparse.Namespace) -> int:
    """Print which finished sizes use a form of cloth well."""
    from api.wording.sizes import what_if_text
    from placement.cloth.inverse import tried, what_if

    try:
        brief = _asked(wish)
        block, form = brief.pattern(), form_of(wish.form, brief.units)
        least, most = tried(brief.units)
        least = wish.least.read(brief.units) if wish.least else least
        most = wish.most.read(brief.units) if wish.most else most
        rows = what_if(block, form, least, most, brief.sewing.terms(brief.units))
    except OSError as error:
        print(f"{wish.plan}: can't be read ({error.strerror or error})", file=sys.stderr)
        return 2
    except ValueError as error:
        print(error, file=sys.stderr)
        return 2
    print(what_if_text(block.name, form, rows, brief.units), end="")
    return 0


def _asked(wish: argparse.Namespace) -> Brief:
    """Return the decisions of a plan, or the usual ones, with those that options tell."""
    from api.pattern.usual import usual_brief

    changes = decided_in(wish)
    if wish.plan:
        return applied(plan_at(wish.plan).brief, changes)
    return begun(usual_brief(changes.get("units", "inches")), changes)


_OF_SIZES = ("block", "own_block", "kind", "block_size", "sashing", "cornerstones", "borders",
             "count", "units")  # fmt: skip
"""Decisions that sizes depend on."""

_FABRICS = 18
"""Fabrics that share the blocks unless it is told."""


def add_sizes(sizes: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell sizes``."""
    add_decisions(sizes, within=_OF_SIZES)
    add = sizes.add_argument
    add("--drop", type=length, default=Written("12 in"), metavar="LENGTH",
        help="how far the quilt hangs down (%(default)s); cm in metric work")  # fmt: skip


def run_sizes(wish: argparse.Namespace) -> int:
    """Print blocks, fabrics, borders and yardage for every bed."""
    from api.pattern.bed_sizes import bed_sizes
    from api.pattern.usual import usual_brief
    from api.wording.sizes import sizes_text

    changes = decided_in(wish)
    try:
        brief = begun(usual_brief(changes.get("units", "inches")), changes)
        rows = bed_sizes(brief, float(wish.drop.read(brief.units)), brief.count or _FABRICS)
    except ValueError as error:
        print(error, file=sys.stderr)
        return 2
    print(sizes_text(rows), end="")
    return 0
