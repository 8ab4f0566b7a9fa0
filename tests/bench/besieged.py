"""A server in a process of its own, watched from outside: its memory, and how soon it answers."""

from __future__ import annotations

import http.client
import json
import os
import socket
import subprocess
import sys
import threading
import time
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

_PAGE = os.sysconf("SC_PAGE_SIZE")


@dataclass
class Watch:
    """What was seen while something was done to a server."""

    peak: int = 0
    """Most memory of all its processes together, MB (resident)."""
    times: list[float] = field(default_factory=list)
    """Seconds that answers took."""
    failed: int = 0
    """Answers that did not come."""
    seen: set[int] = field(default_factory=set)
    """Every process there ever was."""

    def p99(self) -> float:
        """Return the time that one answer of a hundred took longer than."""
        times = sorted(self.times) or [0.0]
        return times[min(len(times) - 1, int(0.99 * len(times)))]

    def words(self, what: str) -> str:
        """Return what was seen as a line."""
        return (
            f"{what}: peak {self.peak} MB, {len(self.times)} looks, p99 {self.p99():.3f} s, worst "
            f"{max(self.times, default=0):.3f} s, {self.failed} without an answer"
        )


class Besieged:
    """A server on a port of its own."""

    def __init__(self, process: subprocess.Popen[bytes], port: int, data: Path) -> None:
        self.process, self.port, self.data = process, port, data

    def ask(
        self,
        method: str,
        path: str,
        body: bytes | None = None,
        headers: Mapping[str, str] | None = None,
        seconds: float = 600.0,
    ) -> tuple[int, bytes]:
        """Return status and body of an answer."""
        link = http.client.HTTPConnection("127.0.0.1", self.port, timeout=seconds)
        try:
            link.request(method, path, body, dict(headers or {}))
            answer = link.getresponse()
            return answer.status, answer.read()
        finally:
            link.close()

    def open(self, data: bytes) -> tuple[int, bytes]:
        """Send a plan's file."""
        kind, form = upload("file", [("plan.zip", data)])
        return self.ask("POST", "/api/plans/open", form, {"content-type": kind})

    def json(self, method: str, path: str, body: Any = None) -> Any:
        """Return the JSON of an answer that is no error."""
        sent = None if body is None else json.dumps(body).encode()
        headers = {"content-type": "application/json", "prefer": "return=representation"}
        status, text = self.ask(method, path, sent, headers)
        assert status < 300, text
        return json.loads(text) if text else None

    def memory(self) -> int:
        """Return the memory of the server and its children, MB."""
        return sum(_resident(pid) for pid in family(self.process.pid)) // 1_000_000

    @contextmanager
    def watched(self, path: str = "/api/health") -> Iterator[Watch]:
        """Ask for something again and again meanwhile, and look at the memory."""
        watch, over = Watch(), threading.Event()

        def look() -> None:
            while not over.is_set():
                began = time.monotonic()
                try:
                    status, _ = self.ask("GET", path, seconds=30)
                    watch.failed += status != 200
                    watch.times.append(time.monotonic() - began)
                except OSError:
                    watch.failed += 1
                over.wait(0.05)

        def weigh() -> None:
            while not over.is_set():
                watch.seen |= {*family(self.process.pid)}
                watch.peak = max(watch.peak, self.memory())
                over.wait(0.05)

        threads = [threading.Thread(target=each) for each in (look, weigh)]
        for thread in threads:
            thread.start()
        try:
            yield watch
        finally:
            over.set()
            for thread in threads:
                thread.join()


def upload(name: str, files: Sequence[tuple[str, bytes]]) -> tuple[str, bytes]:
    """Return the type and the bytes of a form with files (RFC 7578)."""
    mark = "a-mark-between-parts"
    parts = [
        f'--{mark}\r\nContent-Disposition: form-data; name="{name}"; filename="{file}"\r\n'
        f"Content-Type: application/octet-stream\r\n\r\n".encode()
        + data
        + b"\r\n"
        for file, data in files
    ]
    return f"multipart/form-data; boundary={mark}", b"".join(parts) + f"--{mark}--\r\n".encode()


def family(pid: int) -> list[int]:
    """Return a process and all that it started, and those started, as the system lists them."""
    found = [pid]
    for each in found:
        for task in Path(f"/proc/{each}/task").glob("*/children"):
            try:
                found += map(int, task.read_text().split())
            except OSError:
                continue
    return found


def _resident(pid: int) -> int:
    try:
        return int(Path(f"/proc/{pid}/statm").read_text().split()[1]) * _PAGE
    except (OSError, IndexError):
        return 0


@contextmanager
def besieged() -> Iterator[Besieged]:
    """Start a server on an empty data file; end it afterwards."""
    with socket.create_server(("127.0.0.1", 0)) as probe:
        port = probe.getsockname()[1]
    with TemporaryDirectory() as folder:
        data = Path(folder) / "plans.sqlite3"
        command = ["-m", "api.cli", "--no-open", "--port", str(port), "--data", str(data)]
        process = subprocess.Popen([sys.executable, *command], stdout=subprocess.PIPE)
        assert process.stdout
        try:
            if not process.stdout.readline():
                raise RuntimeError("the server does not start")
            yield Besieged(process, port, data)
        finally:
            process.terminate()
            process.wait()
