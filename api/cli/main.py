"""The command line: serve the page, or make a plan from a folder of photos."""

from __future__ import annotations

import argparse
import os
import socket
import sys
import threading
import time
import webbrowser
from collections.abc import Callable, Sequence
from pathlib import Path

from api.cli.booklet import add_booklet, run_booklet
from api.cli.change import add_change, run_change
from api.cli.check import add_check, run_check
from api.cli.cut import add_cut, run_cut
from api.cli.options import Parser, whole
from api.cli.plan import add_plan, run_plan
from api.cli.sizes import add_sizes, add_what_if, run_sizes, run_what_if
from api.cli.thread import add_thread, run_thread
from api.files import program_version

Describe = Callable[[argparse.ArgumentParser], None]
Run = Callable[[argparse.Namespace], int]

_EPILOG = """\
examples:
  spreadwell                        open the page with the finished sample
  spreadwell plan fabrics/*.jpg --background linen.jpg --count 18 --out quilt
  spreadwell plan --bundle table.jpg --kind grid --rows 4 --columns 5 --edge 10 --out quilt
  spreadwell change quilt/plan.json --border '4 1/2=moss' --name moss='Moss: dark'
  spreadwell cut quilt/plan.json --form 'fat eighth' --out quilt/cutting
  spreadwell booklet quilt/plan.json --paper a4 --out quilt/pattern.pdf
"""


def parser() -> argparse.ArgumentParser:
    """Return the parser of the whole command line."""
    top = Parser(
        prog="spreadwell",
        description="From photos of your fabrics to a quilt layout whose neighbours differ.",
        epilog=_EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--version", action="version", version=f"spreadwell {program_version()}")
    _add_serving(top)
    commands = top.add_subparsers(dest="command", parser_class=Parser, metavar="COMMAND")
    for name, (describe, _, words) in _COMMANDS.items():
        commands.add_parser(name, help=words).describe = describe
    return top


def _add_serving(top: argparse.ArgumentParser) -> None:
    top.add_argument("--host", default="127.0.0.1", help="address to serve on (%(default)s)")
    top.add_argument("--port", type=whole, default=8017, help="port to serve on (%(default)s)")
    top.add_argument("--data", type=Path, help="file that keeps your plans")
    top.add_argument("--no-open", action="store_true", help="do not open the page in a browser")


def main(argv: Sequence[str] | None = None) -> int:
    """Run the program; return its exit status (0 done, 1 no plan, 2 a wrong call)."""
    top = parser()
    wish = top.parse_args(argv)
    if wish.command == "plan" and not (wish.photos or wish.bundle):
        top.error("there are no photos; name photos of the fabrics, or one of all with --bundle")
    try:
        return _COMMANDS[wish.command][1](wish) if wish.command else _serve(wish)
    except OSError as error:
        print(f"spreadwell: {error.filename}: {error.strerror}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        return 130


def _serve(wish: argparse.Namespace) -> int:
    from api.storage.database import StoreError
    from api.web.app import serve

    fault = _cannot_listen(wish.host, wish.port)
    if fault:
        print(
            f"spreadwell: can't serve on {wish.host}, port {wish.port}: {fault}; "
            "is it running already? Otherwise choose another with --port",
            file=sys.stderr,
        )
        return 2
    where = f"http://{wish.host}:{wish.port}/"
    print(f"Spreadwell is at {where} (stop it with Ctrl+C)", flush=True)
    if not wish.no_open:
        threading.Thread(target=_open, args=(wish.host, wish.port, where), daemon=True).start()
    try:
        serve(wish.host, wish.port, wish.data or _default_store())
    except StoreError as error:
        print(f"spreadwell: {error}", file=sys.stderr)
        return 2
    return 0


def _cannot_listen(host: str, port: int) -> str:
    """Return why nothing can be served there, in the system's words; '' if it can."""
    try:
        with socket.create_server((host, port)):
            return ""
    except OSError as error:
        return error.strerror or str(error)
    except OverflowError:
        return "ports go up to 65535"


def _open(host: str, port: int, where: str) -> None:
    """Open the page in a browser as soon as the server answers."""
    for _ in range(100):
        try:
            socket.create_connection((host, port), timeout=1).close()
        except OSError:
            time.sleep(0.1)
        else:
            webbrowser.open(where)
            return


def _default_store() -> Path:
    """Return the file that keeps plans, in the place the XDG base directory standard names."""
    base = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    folder = base / "spreadwell"
    folder.mkdir(parents=True, exist_ok=True)
    return folder / "plans.sqlite3"


_COMMANDS: dict[str, tuple[Describe, Run, str]] = {
    "plan": (add_plan, run_plan, "make a plan from photos and write its pictures"),
    "change": (add_change, run_change, "make other decisions on a plan, and what follows anew"),
    "cut": (add_cut, run_cut, "what to cut for a plan, and whether it fits the cloth"),
    "check": (add_check, run_check, "whether a plan and all that is cut for it is sound"),
    "what-if": (add_what_if, run_what_if, "which block sizes use a form of cloth well"),
    "booklet": (add_booklet, run_booklet, "the printed pattern of a plan, as a PDF or a web page"),
    "thread": (add_thread, run_thread, "where quilting threads show and where they vanish"),
    "sizes": (add_sizes, run_sizes, "blocks, fabrics and yardage for every bed"),
}
"""Each command: how it is described, how it is run, and its words in the help."""
