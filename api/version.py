"""Which version of the program this is."""

from __future__ import annotations

from functools import lru_cache
from importlib.metadata import PackageNotFoundError, version


@lru_cache(maxsize=1)
def program_version() -> str:
    """Return the installed version; '0' when run from a checkout that is not installed."""
    try:
        return version("spreadwell")
    except PackageNotFoundError:
        return "0"
