"""What the page weighs on the wire as gzip: each file, and all that the first view loads.

The first view has room up to 60 kB: at 1.6 Mbit/s, as a slow phone network gives
(from memory), that is 0.3 s.
"""

from __future__ import annotations

import gzip

from api.files import static_folder
from api.web.app import GZIP_FROM, GZIP_LEVEL
from api.web.page.files import page_sources
from api.web.page.small import minified

ROOM = 60_000
FIRST_VIEW = ("index.html", "app.js", "page.css", "icon.svg")


def main() -> None:
    """Print the weights."""
    sources = page_sources(static_folder())
    weights = {path: _weight(text) for path, text in minified(sources).items()}
    for path, weight in sorted(weights.items()):
        print(f"{path:24} {weight:7,} bytes")
    first = sum(weights[path] for path in FIRST_VIEW)
    print(f"{'first view':24} {first:7,} bytes of at most {ROOM:,}: {ROOM - first:,} left")
    print(f"made from {len(sources)} files of {sum(map(len, sources.values())):,} characters")


def _weight(text: str) -> int:
    """Return how many bytes of a text go over the wire."""
    content = text.encode()
    return len(content) if len(content) < GZIP_FROM else len(gzip.compress(content, GZIP_LEVEL))


if __name__ == "__main__":
    main()
