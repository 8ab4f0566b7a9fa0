"""One photo of a whole bundle on the command line: its fabrics, without a look in between."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from api.cli.options import photo_at
from api.pattern.edits import new_id
from api.photos.bundle import inches
from api.photos.intake import Intake, spoken_name, take_in

if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

    from placement.inches import Inches


@dataclass(frozen=True, slots=True)
class Unpacked:
    """The fabrics in one photo of a bundle."""

    intakes: tuple[Intake, ...]
    """A swatch for each."""
    warnings: tuple[str, ...]
    """What may be wrong and what to do."""


def add_bundle(
    plan: argparse.ArgumentParser,
    whole: Callable[[str], int],
    length: Callable[[str], Inches],
) -> None:
    """Add the options about one photo of a bundle; given what reads a count and a length."""
    from palette.bundle.result import KINDS

    add = plan.add_argument_group("one photo of the whole bundle").add_argument
    add("--bundle", type=Path, metavar="PHOTO", help="photo of all fabrics together")
    add("--kind", choices=KINDS, default="spread",
        help="how they lie: with gaps, edge to edge, or folded one on another "
        "(%(default)s)")  # fmt: skip
    add("--rows", type=whole, default=0, metavar="R", help="rows of a grid")
    add("--columns", type=whole, default=0, metavar="C", help="columns of a grid")
    add("--stack-count", type=whole, default=0, metavar="N", help="fabrics in a stack")
    add("--edge", type=length, metavar="INCHES", help="length of each fabric's upper edge")
    add("--card", action="store_true",
        help="a white card lies beside them: colours are corrected by it")  # fmt: skip


def unpack(wish: argparse.Namespace, taken: set[str]) -> Unpacked:
    """Read the fabrics of the photo that was asked for; their ids are added to those taken.

    Raises
    ------
    ValueError
        If the photo can't be used or a count is missing; the message says what to do.
    OSError
        If the file can't be read.
    """
    from api.wording.photos import bundle_warning
    from palette.bundle.crop import shown
    from palette.bundle.find import Lie
    from palette.bundle.pipeline import propose, read_pieces

    lie = Lie(wish.kind, wish.rows, wish.columns, wish.stack_count)
    name = spoken_name(wish.bundle.name)
    picture, proposal = propose(photo_at(wish.bundle), name, lie, card=wish.card)
    found = proposal.found
    edge = float(wish.edge) if wish.edge else None
    intakes = []
    readings = read_pieces(picture, found, white="auto" if wish.card else None)
    for number, reading in enumerate(readings):
        label = new_id(reading.fabric.name, taken)
        taken.add(label)
        own = replace(reading, fabric=replace(reading.fabric, id=label))
        width = inches(shown(found, number, edge=edge, ruler=None))
        intakes.append(take_in(own, width))
    return Unpacked(tuple(intakes), tuple(bundle_warning(found, each) for each in found.warnings))
