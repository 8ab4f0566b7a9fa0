"""Puts the page's modules into one file, each in a scope of its own.

One file compresses better than fifty, and none has to wait for another to be
found. A module becomes a function that is called once, in the order in which the
standard runs modules (ECMA-262, 16.2.1.6), and returns what it exports; those
that import from it unpack that. So two modules may call something by one name,
and none can hide a name of the browser's from another. Imports are found by
their path from the module they stand in.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Mapping

_NAMES = r"\{[\w$\s,]*\}"
_IMPORT = re.compile(
    rf'^import (?:(?P<names>{_NAMES}|\* as [\w$]+) from )?"(?P<path>[^"]+)";', re.MULTILINE
)
_DECLARED = re.compile(r"^export (?=(?:async )?(?:class|const|function\*?) ([\w$]+))", re.MULTILINE)
_LISTED = re.compile(rf"^export (?P<names>{_NAMES});", re.MULTILINE)
_OTHER = re.compile(r"^(?:import|export)\b(?!\().*", re.MULTILINE)


def ordered(sources: Mapping[str, str], start: str) -> list[str]:
    """Return the paths of a module and all it imports, each after those it imports itself.

    Parameters
    ----------
    sources : Mapping[str, str]
        Text of every module by its path.
    start : str
        Path of the module that is to run last.

    Raises
    ------
    ValueError
        If a module imports one that is not there, or modules import one another in a circle.
    """
    done: list[str] = []
    above: list[str] = []

    def visit(path: str) -> None:
        if path in above:
            raise ValueError(f"modules import one another: {' > '.join((*above, path))}")
        if path in done:
            return
        above.append(path)
        for found in _IMPORT.finditer(sources[path]):
            other = _resolved(path, found["path"])
            if other not in sources:
                raise ValueError(f"{path} imports {other}, which is not there")
            visit(other)
        done.append(above.pop())

    visit(start)
    return done


def joined(sources: Mapping[str, str], paths: list[str]) -> str:
    """Return modules as one module that exports what the last of them exports.

    Parameters
    ----------
    sources : Mapping[str, str]
        Text of every module by its path.
    paths : list[str]
        Paths of the modules in the order in which they run.

    Raises
    ------
    ValueError
        If a module imports or exports in a way that is not understood here.
    """
    keys = {path: f"module{number}" for number, path in enumerate(paths)}
    scopes = [f"const {keys[path]} = {_scope(path, sources[path], keys)};" for path in paths]
    last = keys[paths[-1]]
    # The whole stands in a function, for only there are names made short.
    whole = "\n".join(("(() => {", *scopes, f"return {last};", "})()"))
    exports = _exports(sources[paths[-1]])
    if not exports:
        return f"{whole};\n"
    names = ", ".join(name for name, _ in exports)
    return f"const {{ {names} }} = {whole};\nexport {{ {names} }};\n"


def _resolved(path: str, imported: str) -> str:
    return posixpath.normpath(posixpath.join(posixpath.dirname(path), imported))


def _scope(path: str, source: str, keys: Mapping[str, str]) -> str:
    """Return a module as a call of a function that returns its exports."""

    def unpacked(found: re.Match[str]) -> str:
        if not found["names"]:
            return ""
        names = found["names"].removeprefix("* as ").replace(" as ", ": ")
        return f"const {names} = {keys[_resolved(path, found['path'])]};"

    exports = ", ".join(f"{name}: {own}" for name, own in _exports(source))
    body = _LISTED.sub("", _DECLARED.sub("", _IMPORT.sub(unpacked, source)))
    other = _OTHER.search(body)
    if other:
        raise ValueError(f"{path}: {other[0][:60]!r} is not understood; write it as others do")
    return f"(() => {{\n{body}\nreturn {{ {exports} }};\n}})()"


def _exports(source: str) -> list[tuple[str, str]]:
    """Return what a module exports: names outside and inside, in the standard's order."""
    names = [(name, name) for name in _DECLARED.findall(source)]
    for listed in _LISTED.finditer(source):
        for own, other in re.findall(r"([\w$]+)(?:\s+as\s+([\w$]+))?", listed["names"]):
            names.append((other or own, own))
    return sorted(names)
