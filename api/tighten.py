"""JavaScript without comments and needless space.

A scanner knows just enough of the language (ECMA-262, clause 12) to tell code from
text: strings, patterns and templates, in which templates may stand again, are handed
on as they are. Line ends stay unless nothing can hang on them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

_TEXT = re.compile(
    r"""//[^\n]* | /\*.*?\*/ | '(?:[^'\\\n]|\\.)*' | "(?:[^"\\\n]|\\.)*" """, re.X | re.S
)
_PATTERN = re.compile(r"/(?:[^/\\\[\n]|\\.|\[(?:[^\]\\\n]|\\.)*\])+/\w*")
_BEFORE_PATTERN = re.compile(r"(?:^|[(,=:\[!&|?{};+\-*%~^<>]|\b(?:return|typeof|case|of|in))\s*$")
"""What a division can't follow."""
_TEMPLATE = re.compile(r"(?:[^`\\$]|\\.|\$(?!\{))*(`|\$\{)", re.S)
_CODE = re.compile(r"[^'\"`/{}]+")

_SPACES = re.compile(r"[ \t]*\n\s*|[ \t]+")
_LOOSE = re.compile(r" ?([{}()\[\];,=<>&|?:]) ?")
_LINE = re.compile(r"(?<=[{(\[,;])\n|\n(?=[})\],;])")


def tighten(source: str) -> str:
    """Return a module that says the same in fewer characters.

    Raises
    ------
    ValueError
        If a string, a template or a comment does not end.
    """
    out: list[str] = []
    code = ""
    for kind, text in _Scanner(source).tokens():
        if kind == "code":
            code += text
        elif kind == "comment":
            code += "\n" if "\n" in text else " "
        else:
            out += (_tight(code), text)
            code = ""
    return "".join((*out, _tight(code))).strip() + "\n"


def _tight(code: str) -> str:
    short = _SPACES.sub(lambda found: "\n" if "\n" in found[0] else " ", code)
    return _LINE.sub("", _LOOSE.sub(r"\1", short))


class _Scanner:
    """Reads a source from its start to its end."""

    def __init__(self, source: str) -> None:
        self._source = source
        self._at = 0
        self._depths: list[int] = []
        """For each template that is open: how many braces are open in its code."""

    def tokens(self) -> Iterator[tuple[str, str]]:
        """Yield kind ('code', 'comment' or 'text') and text, in order and without a gap."""
        while self._at < len(self._source):
            yield self._next(self._source[self._at])
        if self._depths:
            raise ValueError("a template does not end")

    def _next(self, first: str) -> tuple[str, str]:
        if first == "`" or (first == "}" and self._depths and self._depths[-1] == 0):
            return "text", self._template(first)
        if first in "{}" and self._depths:
            self._depths[-1] += 1 if first == "{" else -1
        if first in "'\"/":
            found = _TEXT.match(self._source, self._at)
            if found:
                return ("comment" if first == "/" else "text"), self._take(found.end())
            if first == "/" and self._is_pattern():
                return "text", self._take(self._match(_PATTERN).end())
            if first != "/":
                raise ValueError(f"a string does not end: {self._source[self._at :][:40]!r}")
        found = _CODE.match(self._source, self._at)
        return "code", self._take(found.end() if found else self._at + 1)

    def _template(self, first: str) -> str:
        """Take a piece of a template: up to its end, or up to code in it."""
        if first == "}":
            self._depths.pop()
        start, self._at = self._at, self._at + 1
        end = self._match(_TEMPLATE)
        if end[1] == "${":
            self._depths.append(0)
        self._at = start
        return self._take(end.end())

    def _is_pattern(self) -> bool:
        return bool(_BEFORE_PATTERN.search(self._source, max(0, self._at - 40), self._at))

    def _match(self, pattern: re.Pattern[str]) -> re.Match[str]:
        found = pattern.match(self._source, self._at)
        if found is None:
            raise ValueError(f"this does not end: {self._source[self._at :][:40]!r}")
        return found

    def _take(self, end: int) -> str:
        start, self._at = self._at, end
        return self._source[start:end]
