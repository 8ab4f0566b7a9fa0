"""The page's files as they go over the wire: comments and needless space left behind.

Sources stay as they are written and run as they are, without a build step. On
the way out the style sheets of the page become one, and so do its modules: one
file compresses better than forty, and none has to wait for another to be found.
"""

from __future__ import annotations

import re
from collections.abc import Mapping

import rcssmin

from api.tighten import tighten

START = "app.js"
"""The module the page begins with; it holds all that it imports."""
STYLE = "page.css"
"""The style sheets of the page in one."""

_IMPORT = re.compile(r'^import (?:\{([^}]*)\} from )?"\./([\w-]+\.js)";\n', re.M)
_EXPORT = re.compile(r"^export (?=(?:async )?(?:class|const|function\*?) (\w+))", re.M)
_OTHER = re.compile(r"^(?:import|export)\b.*", re.M)
_SHEETS = re.compile(r'(?:\s*<link rel="stylesheet" href="([\w-]+\.css)">)+')
_SHEET = re.compile(r'href="([\w-]+\.css)"')


def minified(sources: Mapping[str, str]) -> dict[str, str]:
    """Return what is served for each of a page's files, by name.

    Parameters
    ----------
    sources
        Text of every .html, .css, .js and .svg file.

    Raises
    ------
    ValueError
        If a module imports or exports in a way that can't be put into one file,
        or modules import one another in a circle.
    """
    modules = _in_order(sources, START) if START in sources else []
    page = sources.get("index.html", "")
    served = {name: _small(name, text) for name, text in sources.items()}
    served |= {name: _door(sources[name], name) for name in modules}
    if modules:
        served[START] = _small(START, _bundle(sources, modules))
    sheets = [sources[name] for name in _sheets(page)]
    if sheets:
        served[STYLE] = _small(STYLE, "\n".join(sheets))
        link = f'<link rel="stylesheet" href="{STYLE}">'
        served["index.html"] = _small("index.html", _SHEETS.sub(link, page, count=1))
    return served


def _small(name: str, text: str) -> str:
    if name.endswith(".js"):
        return tighten(text)
    if name.endswith(".css"):
        return str(rcssmin.cssmin(text))
    if name.endswith(".html"):
        return re.sub(r"\n\s+", "\n", re.sub(r"<!--.*?-->", "", text, flags=re.S))
    return text


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
        for _, other in _IMPORT.findall(sources[name]):
            visit(other)
        done.append(above.pop())

    visit(start)
    return done


def _bundle(sources: Mapping[str, str], modules: list[str]) -> str:
    """Put modules into one: each a function that returns what it exports."""
    rooms = "\n".join(_room(name, sources[name]) for name in modules)
    return f"{rooms}\nexport {{ {', '.join(map(_name, modules))} }};\n"


def _room(name: str, text: str) -> str:
    exports = _EXPORT.findall(text)
    inside = _EXPORT.sub("", _IMPORT.sub(_taken, text))
    other = _OTHER.search(inside)
    if other:
        raise ValueError(f"{name}: {other[0][:60]!r} can't be put into one file with others")
    return f"const {_name(name)} = (() => {{\n{inside}\nreturn {{ {', '.join(exports)} }};\n}})();"


def _taken(found: re.Match[str]) -> str:
    """Write an import as what is taken from a module that ran before."""
    names = found[1] and re.sub(r"(\w+) as (\w+)", r"\1: \2", found[1])
    return f"const {{{names}}} = {_name(found[2])};\n" if names else ""


def _door(text: str, name: str) -> str:
    """Return a module that hands on what the one in the bundle exports."""
    exports = ",".join(_EXPORT.findall(text))
    return f'import{{{_name(name)} as m}}from"./{START}";export const{{{exports}}}=m;'


def _name(module: str) -> str:
    return "$" + module.removesuffix(".js").replace("-", "_")
