"""How long until the server answers, and how much memory it has taken by then.

Prints one line for each of several starts: seconds from starting the process
to its first answer, and its resident memory (where /proc tells).
"""

from __future__ import annotations

import json
import re
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

STARTS = 5


def main() -> None:
    """Start the server several times and print what was measured."""
    print("start  seconds  MiB")
    with tempfile.TemporaryDirectory() as folder:
        for number in range(1, STARTS + 1):
            seconds, memory = _start(Path(folder) / "plans.sqlite3")
            print(f"{number:5}  {seconds:7.2f}  {memory:3.0f}")


def _start(store: Path) -> tuple[float, float]:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    code = f"from api.web.app import serve; serve(port={port}, store_path={str(store)!r})"
    begin = time.perf_counter()
    child = subprocess.Popen([sys.executable, "-c", code])
    try:
        _wait(f"http://127.0.0.1:{port}/api/health")
        return time.perf_counter() - begin, _memory(child.pid)
    finally:
        child.kill()
        child.wait()


def _wait(address: str) -> None:
    while True:
        try:
            with urllib.request.urlopen(address) as answer:
                json.load(answer)
                return
        except OSError:
            time.sleep(0.005)


def _memory(process: int) -> float:
    """Return resident memory in MiB; not a number where the system does not tell."""
    status = Path(f"/proc/{process}/status")
    found = re.search(r"VmRSS:\s+(\d+)", status.read_text()) if status.exists() else None
    return int(found[1]) / 1024 if found else float("nan")


if __name__ == "__main__":
    main()
