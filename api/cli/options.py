"""Words of the command line that several commands share."""

from __future__ import annotations

import argparse
import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

from api.files import read_bounded
from placement.inches import Inches

if TYPE_CHECKING:
    from collections.abc import Callable

    from api.pattern.plan import Plan
    from placement.inches import Units


class Parser(argparse.ArgumentParser):
    """Answers a wrong call with one clear sentence and where to read on.

    Its options may be described when they are first needed.
    """

    describe: Callable[[argparse.ArgumentParser], None] | None = None
    """What adds the options."""

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """Describe the options, then read."""
        describe, self.describe = self.describe, None
        if describe:
            describe(self)
        return super().parse_known_args(args, namespace)

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and stop with status 2."""
        self.exit(2, f"{self.prog}: {message}\nTry '{self.prog} --help'.\n")


def data_file(text: str) -> Path:
    """Read the file that keeps the plans: a path, or SQLite's address of one."""
    scheme, found, rest = text.partition("://")
    if not found:
        return _file_named(text)
    if scheme == "sqlite" and rest.startswith("/"):
        return _file_named(rest[1:])
    # An address may hold a password, so it is not repeated.
    raise argparse.ArgumentTypeError(
        f"takes the path of a file, not the address of a {scheme[:20]} database; plans are kept "
        "in a file, such as plans.sqlite3"
    )


def _file_named(text: str) -> Path:
    if os.path.isdir(text or "."):
        raise argparse.ArgumentTypeError(
            f"{text!r} is a folder; name a file in it, such as plans.sqlite3"
        )
    return Path(text)


def add_data(command: argparse.ArgumentParser) -> None:
    """Add the option that says which file keeps the plans."""
    command.add_argument(
        "--data", type=data_file, metavar="FILE", help="file that keeps your plans"
    )


def data_of(wish: argparse.Namespace) -> Path:
    """Return the file that keeps the plans, as it was told or where it always lies."""
    return Path(wish.data or default_store())


def plan_at(path: Path) -> Plan:
    """Read a plan from a file that somebody else may have written.

    Raises
    ------
    OSError
        If the file can't be read.
    ValueError
        If it is no plan that can be used; the message says why.
    """
    from api.pattern.customs import MOST_JSON
    from api.pattern.untrusted import vetted

    return vetted(read_bounded(path, MOST_JSON, "a plan"))


def photo_at(path: Path) -> bytes:
    """Read the bytes of a photo; OSError if they can't be read or there are too many."""
    from palette.photo.open import MOST_BYTES

    return read_bounded(path, MOST_BYTES, "a photo")


def pictures_of(plan: Plan, folder: Path) -> dict[str, bytes]:
    """Read the pictures of a plan that lie in a folder, by their names; others are not opened."""
    from api.storage.archive import MOST_PICTURE

    names = sorted({swatch.picture for swatch in plan.brief.everything()})
    there = {name: folder / f"{name}.jpg" for name in names}
    return {
        name: read_bounded(path, MOST_PICTURE, "a picture")
        for name, path in there.items()
        if path.is_file()
    }


def default_store() -> Path:
    """Return the file that keeps plans, in the place the XDG base directory standard names."""
    base = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    folder = base / "spreadwell"
    folder.mkdir(parents=True, exist_ok=True)
    return folder / "plans.sqlite3"


@dataclass(frozen=True, slots=True)
class Written:
    """A length as it is written; what a number alone means is known once the units are."""

    text: str
    """What was written."""

    def __str__(self) -> str:
        return self.text

    def read(self, units: Units) -> Inches:
        """Return the length: a number alone is inches, or centimetres in metric work.

        Raises
        ------
        ValueError
            If it is none.
        """
        return Inches.parse(self.text, units)


def length(text: str) -> Written:
    """Take a length of the command line, of at most what any quilt measures if it is inches."""
    from api.pattern.decision import LONGEST_LENGTH

    written = Written(text)
    try:
        if float(written.read("inches")) > LONGEST_LENGTH:
            raise ValueError(f"{text!r} is too long; at most {LONGEST_LENGTH} inches are taken")
    except ValueError as error:
        raise argparse.ArgumentTypeError(str(error)) from None
    return written


def whole(text: str) -> int:
    """Read a whole number of at least 1."""
    try:
        number = int(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{text!r} is not a whole number") from None
    if number < 1:
        raise argparse.ArgumentTypeError(f"must be 1 or more, not {number}")
    return number
