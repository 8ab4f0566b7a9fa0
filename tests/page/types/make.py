"""Make the page's types from what the server says of itself: static/types/api.d.ts.

Run as ``.venv/bin/python tests/page/types/make.py`` after ``npm install`` in this folder.
"""

from __future__ import annotations

import json
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[2]
WRITTEN = ROOT / "static" / "types" / "api.d.ts"
"""Where they are committed."""
TOOL = HERE / "node_modules" / "openapi-typescript" / "bin" / "cli.js"
"""What makes them."""
HEAD = (
    "/** What goes over the wire, made by tests/page/types/make.py: not to be changed by hand. */\n"
)


def described() -> dict[str, Any]:
    """Return what the server says of itself."""
    from api.storage.store import Store
    from api.web.app import create_app

    with tempfile.TemporaryDirectory() as folder:
        store = Store(Path(folder) / "plans.sqlite3")
        document: dict[str, Any] = create_app(store).openapi()
        store.close()
    return document


def made(document: dict[str, Any]) -> str:
    """Return the types of all that is sent and answered.

    Parameters
    ----------
    document : dict
        What a server says of itself, as OpenAPI.

    Raises
    ------
    subprocess.CalledProcessError
        If the tool can't read it.
    """
    # Addresses are no types of the page's; without them the file is a third as long.
    bare = _untitled({**document, "paths": {}})
    flags = ["--root-types", "--root-types-no-schema-prefix", "--alphabetize"]
    with tempfile.TemporaryDirectory() as folder:
        given, out = Path(folder) / "openapi.json", Path(folder) / "api.d.ts"
        given.write_text(json.dumps(bare), encoding="utf-8")
        command = ["node", str(TOOL), str(given), "--output", str(out), *flags]
        subprocess.run(command, check=True, capture_output=True)
        return HEAD + out.read_text(encoding="utf-8")


def _untitled(part: Any) -> Any:
    """Leave out titles, which say what the names say."""
    if isinstance(part, list):
        return [_untitled(entry) for entry in part]
    if not isinstance(part, dict):
        return part
    kept = {k: v for k, v in part.items() if k != "title" or not isinstance(v, str)}
    return {name: _untitled(value) for name, value in kept.items()}


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    WRITTEN.write_text(made(described()), encoding="utf-8")
