"""The page's files as they go over the wire: without comments, in short names.

Sources stay as they are written and run as they are, without a build step. On
the way out the style sheets of the page become one, and so do its modules: one
file compresses better than forty, and none has to wait for another to be found.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import rcssmin

START = "app.js"
"""The module the page begins with; it holds all that it imports."""
STYLE = "page.css"
"""The style sheets of the page in one."""

_KINDS = {
    ".js": "text/javascript",
    ".html": "text/html",
    ".svg": "image/svg+xml",
}

_IMPORT = re.compile(r'^import (?:\{\s*\w+(?:,\s*\w+)*,?\s*\} from )?"\./([\w-]+\.js)";\n', re.M)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:class|const|function\*?) \w+)", re.M)
_HANDED = re.compile(r"^export (\{[^}]*\});\n", re.M)
_OTHER = re.compile(r"^(?:import|export)\b.*", re.M)
_NAME = re.compile(r"^(?:async )?(?:class|const|let|function\*?) (\w+)", re.M)
_SHEETS = re.compile(r'(?:\s*<link rel="stylesheet" href="([\w-]+\.css)">)+')
_SHEET = re.compile(r'href="([\w-]+\.css)"')


def minified(sources: Mapping[str, str]) -> dict[str, str]:
    """Return what is served for each of a page's files, by name.

    What went into the one module and the one style sheet is not served by itself.

    Parameters
    ----------
    sources
        Text of every .html, .css, .js and .svg file.

    Raises
    ------
    ValueError
        If a module imports or exports in a way that can't be put into one file,
        modules import one another in a circle or call two things by one name.
    """
    modules = _in_order(sources, START) if START in sources else []
    page = sources.get("index.html", "")
    sheets = _sheets(page)
    served = dict(sources)
    for name in (*modules, *sheets):
        del served[name]
    if modules:
        served[START] = _bundle(sources, modules)
    if sheets:
        served[STYLE] = "\n".join(sources[name] for name in sheets)
        link = f'<link rel="stylesheet" href="{STYLE}">'
        served = {name: _SHEETS.sub(link, text) for name, text in served.items()}
    return {name: _small(name, text) for name, text in served.items()}


def top_names(source: str) -> list[str]:
    """Return what a module calls by a name at its outermost level."""
    return _NAME.findall(_EXPORT.sub("", source))


def _small(name: str, text: str) -> str:
    if name.endswith(".css"):
        return str(rcssmin.cssmin(text))
    try:
        import minify
    except ImportError:  # There is none for every machine; the page works as it is written.
        return text
    return str(minify.string(_KINDS[Path(name).suffix], text))


def _sheets(page: str) -> list[str]:
    """Return the names of the first run of style sheets of a page."""
    run = _SHEETS.search(page)
    return _SHEET.findall(run[0]) if run else []


def _in_order(sources: Mapping[str, str], start: str) -> list[str]:
    """Return a module and all it imports, each after those it imports itself."""
    done: list[str] = []
    above: list[str] = []

    def visit(name: str) -> None:
        if name in above:
            raise ValueError(f"modules import one another: {' > '.join((*above, name))}")
        if name in done:
            return
        above.append(name)
        for other in _IMPORT.findall(sources[name]):
            visit(other)
        done.append(above.pop())

    visit(start)
    return done


def _bundle(sources: Mapping[str, str], modules: list[str]) -> str:
    """Put modules into one, in which all is seen by all; hand on what the last one does.

    The whole stands in a function, for only there are names made short.
    """
    _check_names(sources, modules)
    handed = _HANDED.search(sources[modules[-1]])
    text = "\n".join(_bare(name, sources[name]) for name in modules)
    if not handed:
        return f"(() => {{\n{text}\n}})();\n"
    names = handed[1]
    return f"const {names} = (() => {{\n{text}\nreturn {names};\n}})();\nexport {names};\n"


def _bare(name: str, source: str) -> str:
    """Return a module without its imports and exports."""
    bare = _HANDED.sub("", _EXPORT.sub("", _IMPORT.sub("", source)))
    other = _OTHER.search(bare)
    if other:
        raise ValueError(f"{name}: {other[0][:60]!r} can't be put into one file with others")
    return bare


def _check_names(sources: Mapping[str, str], modules: list[str]) -> None:
    owners: dict[str, str] = {}
    for module in modules:
        for name in top_names(sources[module]):
            other = owners.setdefault(name, module)
            if other != module:
                raise ValueError(f"{other} and {module} both call something {name!r}; rename one")
