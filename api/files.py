"""Where the program's own files lie, in a checkout and in an installed copy alike; its version."""

from __future__ import annotations

import os
import tempfile
from functools import lru_cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

_HERE = Path(__file__).resolve().parent


def _folder(name: str) -> Path:
    """Find a folder inside the installed package first, then beside it in a checkout."""
    for parent in (_HERE, _HERE.parent):
        if (parent / name).is_dir():
            return parent / name
    raise FileNotFoundError(f"the folder {name!r} that comes with Spreadwell is missing")


def static_folder() -> Path:
    """Return the folder of the page."""
    return _folder("static")


def demo_folder() -> Path:
    """Return the folder of the sample bundle's photos and scenario."""
    return _folder("demo_swatches")


@lru_cache(maxsize=1)
def program_version() -> str:
    """Return the installed version; '0' when run from a checkout that is not installed."""
    try:
        return version("spreadwell")
    except PackageNotFoundError:
        return "0"


def write_whole(path: Path, data: bytes) -> None:
    """Write a file so that its old or its new content stands there whole, whatever happens.

    Raises
    ------
    OSError
        If it can't be written; what was there stays.
    """
    goal = path.resolve()
    try:
        handle, beside = tempfile.mkstemp(dir=goal.parent, prefix=f".{goal.name}-")
    except OSError as error:  # it names the file beside, which nobody asked for
        raise OSError(error.errno, error.strerror, str(path)) from None
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(beside, goal.stat().st_mode & 0o777 if goal.exists() else _new_file_mode())
        os.replace(beside, goal)
    except BaseException:
        Path(beside).unlink(missing_ok=True)
        raise


def _new_file_mode() -> int:
    """Return the mode of a new file by the umask, which can only be read by setting it."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
