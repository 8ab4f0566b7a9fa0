"""Words of the command line that several commands share."""

from __future__ import annotations

import argparse
import json
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from placement.block import block_names, check_cuttable
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Sequence

    from api.pattern.brief import Band, OwnBlock
    from api.pattern.sewing import Units
    from placement.top.setting.setting import Setting


USUAL: dict[Units, dict[str, Inches]] = {
    "inches": {"block": Inches.parse("8 1/2"), "border": Inches.parse(4)},
    "metric": {"block": Inches.parse("220 mm"), "border": Inches.parse("100 mm")},
}
"""What blocks and borders finish at unless it is given."""


class Parser(argparse.ArgumentParser):
    """Answers a wrong call with one clear sentence and where to read on."""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and stop with status 2."""
        self.exit(2, f"{self.prog}: {message}\nTry '{self.prog} --help'.\n")


def length(text: str) -> Inches:
    """Read a length of the command line."""
    try:
        return Inches.parse(text)
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None


def border(text: str) -> tuple[Inches, str]:
    """Read one border of the command line: its width and, after '=', the id of its fabric."""
    width, _, fabric = text.partition("=")
    return length(width), fabric.strip()


def borders(
    given: Sequence[tuple[Inches, str]] | None, units: Units = "inches"
) -> tuple[Band, ...]:
    """Return the borders of the command line; the usual one if none was given, none of width 0."""
    from api.pattern.brief import Band

    if given is None:
        return (Band(USUAL[units]["border"]),)
    return tuple(Band(width, fabric) for width, fabric in given if width.value)


def whole(text: str) -> int:
    """Read a whole number of at least 1."""
    try:
        number = int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number") from None
    if number < 1:
        raise argparse.ArgumentTypeError(f"must be 1 or more, not {number}")
    return number


def share(text: str) -> float:
    """Read a number from 0 to 1."""
    try:
        number = float(text)
    except ValueError:
        number = -1.0
    if not 0 <= number <= 1:
        raise argparse.ArgumentTypeError(f"must be a number between 0 and 1, not {text}")
    return number


def add_block(parser: argparse.ArgumentParser) -> None:
    """Describe the choice of a block."""
    parser.add_argument(
        "--pattern", choices=block_names(), default="sawtooth-star", help="block (%(default)s)"
    )
    parser.add_argument(
        "--own-block",
        type=Path,
        metavar="FILE",
        help="a block of your own, as a small JSON file (see README)",
    )


def add_sashing(parser: argparse.ArgumentParser) -> None:
    """Describe sashing and cornerstones."""
    parser.add_argument(
        "--sashing",
        type=length,
        default=Inches.parse(0),
        metavar="INCHES",
        help="finished width of strips round every block, such as '1 1/2' (%(default)s: none)",
    )
    parser.add_argument(
        "--cornerstones", action="store_true", help="squares where the strips of sashing meet"
    )


def sashed(setting: Setting, wish: argparse.Namespace) -> Setting:
    """Return a setting with the sashing asked for.

    Raises
    ------
    ValueError
        If there are cornerstones without sashing, or it is as wide as the block.
    """
    if wish.cornerstones and not wish.sashing.value:
        raise ValueError("cornerstones lie between strips: give --sashing a width as well")
    return replace(setting, sashing=wish.sashing, cornerstones=wish.cornerstones)


def own_block(wish: argparse.Namespace) -> OwnBlock | None:
    """Return the designer's own block, if a file was given.

    Raises
    ------
    ValueError
        Saying what is wrong with the file.
    """
    from api.pattern.brief import OwnBlock

    if wish.own_block is None:
        return None
    try:
        data = json.loads(wish.own_block.read_text(encoding="utf-8"))
    except OSError as error:
        raise ValueError(f"{wish.own_block}: can't be read ({error.strerror})") from None
    except ValueError as error:
        raise ValueError(f"{wish.own_block} is not JSON: {error}") from None
    if not isinstance(data, dict):
        raise ValueError(f"{wish.own_block} must hold one object with name, columns, rows, patches")
    lists = {}
    for key in ("columns", "rows", "patches"):
        value = data.get(key)
        lists[key] = tuple(map(str, value)) if isinstance(value, list) else ()
    block = OwnBlock(str(data.get("name", "")), **lists)
    try:
        check_cuttable(block.drawn())
    except ValueError as error:
        raise ValueError(f"{wish.own_block}: {error}") from None
    return block
