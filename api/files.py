"""Where the program's own files lie, in a checkout and in an installed copy alike; its version."""

from __future__ import annotations

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
