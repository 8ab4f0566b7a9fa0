"""Where the program's own files lie, in a checkout and in an installed copy alike; its version."""

from __future__ import annotations

import os
import shutil
import signal
import stat
import tempfile
import threading
from contextlib import contextmanager
from functools import lru_cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

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


class FileError(OSError):
    """A file that is not read; the message says why and what to do."""


def read_bounded(path: Path, most: int, what: str) -> bytes:
    """Read a file of limited size; one that is larger, or no file, is not opened.

    Parameters
    ----------
    path : Path
        The file.
    most : int
        Bytes it may have.
    what : str
        What it is to be, such as 'a plan'.

    Raises
    ------
    OSError
        If it can't be read; FileError if it is a folder, a pipe or a device, or too large.
    """
    # Opened without waiting: a pipe nobody writes to would hold the program for ever.
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with os.fdopen(handle, "rb") as file:
        known = os.fstat(file.fileno())
        if not stat.S_ISREG(known.st_mode):
            raise _refused(path, f"is no ordinary file; save {what} as a file and name that")
        data = b"" if known.st_size > most else file.read(most + 1)
        if max(known.st_size, len(data)) > most:
            size = max(known.st_size, len(data)) / 1e6
            raise _refused(
                path, f"has {size:.1f} MB, more than {what} can have ({most / 1e6:g} MB)"
            )
        return data


def _refused(path: Path, why: str) -> FileError:
    return FileError(0, why, str(path))


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
    except BaseException as error:
        Path(beside).unlink(missing_ok=True)
        if isinstance(error, OSError):  # what a full disk says names no file
            raise OSError(error.errno, error.strerror, str(path)) from None
        raise


@contextmanager
def whole_folder(folder: Path) -> Iterator[Path]:
    """Lend an empty folder; what was written there by the end comes into another, all or nothing.

    What is in the way is replaced, all else stays. Whoever stops the program meanwhile (Ctrl+C)
    finds the folder as it was, or with everything in it.

    Raises
    ------
    OSError
        If something can't be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    beside = Path(tempfile.mkdtemp(dir=folder.resolve(), prefix=".new-"))
    try:
        yield beside
        made = sorted(path for path in beside.rglob("*") if path.is_file())
        with _undisturbed():
            for path in made:
                goal = folder / path.relative_to(beside)
                goal.parent.mkdir(parents=True, exist_ok=True)
                os.replace(path, goal)
    except OSError as error:
        raise OSError(error.errno, error.strerror, error.filename or str(folder)) from None
    finally:
        shutil.rmtree(beside, ignore_errors=True)


@contextmanager
def _undisturbed() -> Iterator[None]:
    """Put a wish to stop off until something short is done."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    wishes: list[int] = []
    before = signal.signal(signal.SIGINT, lambda number, _frame: wishes.append(number))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
    if wishes:
        raise KeyboardInterrupt


def _new_file_mode() -> int:
    """Return the mode of a new file by the umask, which can only be read by setting it."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
