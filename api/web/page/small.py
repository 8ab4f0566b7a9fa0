"""The page's files made small: without comments, in short names, modules and styles in one file.

Sources stay as they are written and run as they are, without a build step.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import rcssmin

from api.web.page.modules import joined, ordered

START = "app.js"
"""The module the page begins with; it holds all that it imports."""
STYLE = "page.css"
"""The style sheets of the page in one."""

_KINDS = {
    ".js": "text/javascript",
    ".html": "text/html",
    ".svg": "image/svg+xml",
}

_SHEETS = re.compile(r'(?:\s*<link rel="stylesheet" href="([\w/-]+\.css)">)+')
_SHEET = re.compile(r'href="([\w/-]+\.css)"')


def minified(sources: Mapping[str, str]) -> dict[str, str]:
    """Return what is served for each of a page's files, by its path.

    What went into the one module and the one style sheet is not served by itself.

    Parameters
    ----------
    sources : Mapping[str, str]
        Text of every .html, .css, .js and .svg file by its path.

    Raises
    ------
    ValueError
        If a module can't be put into one file with the others.
    """
    modules = ordered(sources, START) if START in sources else []
    sheets = _sheets(sources.get("index.html", ""))
    served = dict(sources)
    for path in (*modules, *sheets):
        del served[path]
    if modules:
        served[START] = joined(sources, modules)
    if sheets:
        served[STYLE] = "\n".join(sources[path] for path in sheets)
        link = f'<link rel="stylesheet" href="{STYLE}">'
        served = {path: _SHEETS.sub(link, text) for path, text in served.items()}
    return {path: _small(path, text) for path, text in served.items()}


def _small(path: str, text: str) -> str:
    if path.endswith(".css"):
        return str(rcssmin.cssmin(text))
    try:
        import minify
    except ImportError:  # There is none for every machine; the page works as it is written.
        return text
    return str(minify.string(_KINDS[Path(path).suffix], text))


def _sheets(page: str) -> list[str]:
    """Return the paths of the first run of style sheets of a page."""
    run = _SHEETS.search(page)
    return _SHEET.findall(run[0]) if run else []
