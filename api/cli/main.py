"""The command line: serve the page, or make a plan from a folder of photos."""

from __future__ import annotations

import argparse
import os
import socket
import sys
import threading
import webbrowser
from functools import partial
from importlib import import_module
from ipaddress import ip_address
from typing import TYPE_CHECKING, Any

from api.cli.options import Parser, add_data, data_of, whole
from api.files import program_version

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

_OPEN_TO_OTHERS = (
    "spreadwell: other machines can reach this program; whoever opens the address below, with its "
    "word, can see, change and delete your plans. What is sent can be read on the way: use a "
    "network you trust, or leave --host away to keep your plans to this machine"
)

_EPILOG = """\
examples:
  spreadwell                        open the page with the finished sample
  spreadwell plan fabrics/*.jpg --background linen.jpg --count 18 --out quilt
  spreadwell plan table.jpg --lie grid:4x5 --edge 10 --out quilt
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
    for name, (_, words) in _COMMANDS.items():
        commands.add_parser(name, help=words, allow_abbrev=False).describe = partial(
            _describe, name
        )
    return top


def _describe(name: str, command: argparse.ArgumentParser) -> None:
    """Add the options of a command; what it needs is loaded here, for no other command."""
    _loaded("add", name)(command)


def _loaded(does: str, name: str) -> Callable[[Any], Any]:
    """Return the function that describes ('add') or runs ('run') a command."""
    module = import_module(f"api.cli.{_COMMANDS[name][0]}")
    found: Callable[[Any], Any] = getattr(module, f"{does}_{name.replace('-', '_')}")
    return found


def _add_serving(top: argparse.ArgumentParser) -> None:
    top.add_argument("--host", default="127.0.0.1", help="address to serve on (%(default)s)")
    top.add_argument("--port", type=whole, default=8017, help="port to serve on (%(default)s)")
    add_data(top)
    top.add_argument("--no-open", action="store_true", help="do not open the page in a browser")


def main(argv: Sequence[str] | None = None) -> int:
    """Run the program.

    Returns
    -------
    int
        The exit status: 0 done, 1 no plan, 2 a wrong call, and what a shell gives for
        the signal that ended the work (130 stopped, 141 nobody reads on, as ``| head``).
    """
    _fill_closed()
    try:
        try:
            return _run(argv)
        finally:
            _flush()
    except BrokenPipeError:
        _turn_away()
        return 141


def _flush() -> None:
    """Write out what was said; where there is no room for it, say so and end with status 2."""
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        raise
    except OSError as error:
        _turn_away()
        print(f"spreadwell: what it says can't be written: {error.strerror}", file=sys.stderr)
        sys.exit(2)


def _fill_closed() -> None:
    """Open what a caller closed (``>&-``), so that no file of ours is taken for it."""
    for number, name in enumerate(("stdin", "stdout", "stderr")):
        if getattr(sys, name) is None:
            os.dup2(os.open(os.devnull, os.O_RDWR), number)
            setattr(sys, name, os.fdopen(number, "w" if number else "r", encoding="utf-8"))


def _turn_away() -> None:
    """Let the flush at the interpreter's end find a place to write to."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _run(argv: Sequence[str] | None) -> int:
    top = parser()
    wish = top.parse_args(argv)
    if wish.command == "plan" and not wish.photos:
        top.error("there are no photos; name photos of the fabrics, or one of all of them")
    try:
        return int(_loaded("run", wish.command)(wish)) if wish.command else _serve(wish)
    except BrokenPipeError:
        raise
    except OSError as error:
        where = f"{error.filename}: " if error.filename else ""
        print(f"spreadwell: {where}{error.strerror or error}", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        return 130


def _serve(wish: argparse.Namespace) -> int:
    from api.storage.database import StoreError
    from api.web.app import serve
    from api.web.connections import DoorError
    from api.web.middleware.pairing import new_word

    try:
        word = "" if _is_loopback(wish.host) else new_word()
        serve(
            wish.host,
            wish.port,
            data_of(wish),
            hosts=addresses(wish.host),
            word=word,
            opened=partial(_greet, wish, word),
        )
    except DoorError as fault:
        print(
            f"spreadwell: can't serve on {wish.host}, port {wish.port}: {fault}; "
            "is it running already? Otherwise choose another with --port",
            file=sys.stderr,
        )
        return 2
    except StoreError as error:
        print(f"spreadwell: {error}", file=sys.stderr)
        return 2
    return 0


def _greet(wish: argparse.Namespace, word: str) -> None:
    """Say where the page is, and open it; the plans are open by then."""
    asked = f"?word={word}" if word else ""
    places = [f"http://{_in_address(name)}:{wish.port}/{asked}" for name in addresses(wish.host)]
    if word:
        print(_OPEN_TO_OTHERS, file=sys.stderr)
    print(f"Spreadwell is at {' or '.join(places)} (stop it with Ctrl+C)", flush=True)
    if not wish.no_open:
        # A browser may take its time, and answers are given meanwhile.
        threading.Thread(target=webbrowser.open, args=(places[0],), daemon=True).start()


def addresses(host: str) -> tuple[str, ...]:
    """Return the names under which what listens on an address can be opened."""
    if host not in ("0.0.0.0", "::"):  # noqa: S104 (asked, not listened on)
        return (host,)
    found = dict.fromkeys(filter(None, (_outward(), *_own_names())))
    return tuple(found) or ("127.0.0.1",)


def _outward() -> str:
    """Return this machine's address on its network; nothing is sent to find it."""
    try:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
            probe.connect(("192.0.2.1", 9))  # An address of no machine (RFC 5737).
            return str(probe.getsockname()[0])
    except OSError:
        return ""


def _own_names() -> list[str]:
    try:
        known = socket.gethostbyname_ex(socket.gethostname())[2]
    except OSError:
        return []
    return [name for name in known if not _is_loopback(name)]


def _in_address(name: str) -> str:
    """Return a name as it stands in an address (RFC 3986, 3.2.2)."""
    return f"[{name}]" if ":" in name else name


def _is_loopback(host: str) -> bool:
    """Tell whether only this machine reaches an address (RFC 5735, RFC 4291)."""
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


_COMMANDS: dict[str, tuple[str, str]] = {
    "plan": ("plan", "make a plan from photos and write its pictures"),
    "change": ("change", "make other decisions on a plan, and what follows anew"),
    "cut": ("cut", "what to cut for a plan, and whether it fits the cloth"),
    "forms": ("forms", "what other forms of cloth give for a plan, side by side"),
    "methods": ("methods", "what each way of making units does to cloth and work, side by side"),
    "check": ("check", "whether a plan and all that is cut for it is sound"),
    "what-if": ("sizes", "which block sizes use a form of cloth well"),
    "booklet": ("booklet", "the printed pattern of a plan, as a PDF or a web page"),
    "patches": ("patches", "what patches cut from large prints show, and where they sink"),
    "thread": ("thread", "where quilting threads show and where they vanish"),
    "sizes": ("sizes", "blocks, fabrics and yardage for every bed"),
    "keep": ("planfiles", "write one of your plans with its pictures as a file"),
    "open": ("planfiles", "take such a file in among your plans"),
    "backup": ("copies", "write all your plans into one file"),
    "restore": ("copies", "take the plans of such a file back"),
    "mend": ("copies", "put a damaged file of plans right, from its daily copy"),
}
"""Each command: the module of this room that has its ``add_`` and ``run_``, and its words."""
