"""Where the program's own files lie, in a checkout and in an installed copy alike."""

from __future__ import annotations

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
