"""The commands on sizes: which suit a form of cloth, and which every bed takes."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from api.cli.decisions import add_decisions, applied, decided_in
from api.cli.options import length
from placement.cloth.forms import FORMS
from placement.inches import Inches

if TYPE_CHECKING:
    import argparse


def add_what_if(what: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell what-if``."""
    add_decisions(what, within=("block", "own_block"))
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
        block = applied(Brief(), decided_in(wish)).pattern()
        rows = what_if(block, FORMS[wish.form], wish.least, wish.most)
    except ValueError as error:
        print(error, file=sys.stderr)
        return 2
    print(what_if_text(block.name, FORMS[wish.form], rows), end="")
    return 0


_OF_SIZES = ("block", "own_block", "kind", "block_size", "sashing", "cornerstones", "borders",
             "count", "units")  # fmt: skip
"""Decisions that sizes depend on."""

_FABRICS = 18
"""Fabrics that share the blocks unless it is told."""


def add_sizes(sizes: argparse.ArgumentParser) -> None:
    """Describe ``spreadwell sizes``."""
    add_decisions(sizes, within=_OF_SIZES)
    add = sizes.add_argument
    add("--drop", type=length, default=Inches.parse(12), metavar="INCHES",
        help="how far the quilt hangs down (%(default)s)")  # fmt: skip


def run_sizes(wish: argparse.Namespace) -> int:
    """Print blocks, fabrics, borders and yardage for every bed."""
    from api.pattern.bed_sizes import bed_sizes
    from api.pattern.brief import usual_brief
    from api.wording.cutting import sizes_text

    changes = decided_in(wish)
    try:
        brief = applied(usual_brief(changes.get("units", "inches")), changes)
        rows = bed_sizes(brief, float(wish.drop), brief.count or _FABRICS)
    except ValueError as error:
        print(error, file=sys.stderr)
        return 2
    print(sizes_text(rows), end="")
    return 0
