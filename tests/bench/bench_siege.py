"""What hostile input, dear work and silence do to a running server.

Prints for each: memory of all processes, how soon others are answered, what is said.
Run with ``python tests/bench/bench_siege.py [mutations]``.
"""

from __future__ import annotations

import io
import json
import os
import random
import socket
import sys
import threading
import time
import zipfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.bench.besieged import Besieged, besieged, family

MUTATIONS = 10_000
CLIENTS = 20
LATE = 10.0
"""Seconds after which an answer comes too late."""


def packed(text: bytes) -> bytes:
    """Return a plan's file whose text is compressed as far as it goes."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        archive.writestr("plan.json", text)
    return out.getvalue()


def shapes(plan: bytes) -> dict[str, bytes]:
    """Return hostile plan files by name."""
    many = json.loads(plan)
    many["brief"]["swatches"] = many["brief"]["swatches"][:1] * 300
    coloured = json.loads(plan)
    fabric = coloured["brief"]["swatches"][0]["fabric"]
    fabric["colours"] = [dict(fabric["colours"][0], share=1e-4)] * 10_000
    return {
        "a million empty fabrics": packed(b'{"brief":{"swatches":[' + b"{}," * 999_999 + b"{}]}}"),
        "30,000 empty fabrics": packed(b'{"brief":{"swatches":[' + b"{}," * 29_999 + b"{}]}}"),
        "one fabric 300 times": packed(json.dumps(many).encode()),
        "10,000 colours": packed(json.dumps(coloured).encode()),
        "a text of 1 GB": packed(b'{"brief":"' + b"a" * 1_000_000_000 + b'"}'),
        "a million deep": packed(b"[" * 1_000_000),
        "numbers of 100,000 digits": packed(b'{"brief":{"seed":' + b"9" * 100_000 + b"}}"),
        "60 MB of noise": random.Random(1).randbytes(60_000_000),
    }


def besiege(server: Besieged, plan: bytes) -> None:
    """Send every hostile shape."""
    for name, data in shapes(plan).items():
        with server.watched() as watch:
            began = time.monotonic()
            status, text = server.open(data)
            took = time.monotonic() - began
        said = json.loads(text).get("detail", "")[:100]
        print(watch.words(f"{name} ({len(data):,} bytes)"))
        print(f"    {status} in {took:.2f} s: {said}")


def mutate(rng: random.Random, text: bytes) -> bytes:
    """Return a text with a few of its bytes, numbers or parts changed."""
    made = bytearray(text)
    for _ in range(rng.randint(1, 4)):
        at, kind = rng.randrange(len(made)), rng.randrange(5)
        if kind == 0:
            made[at] = rng.randrange(256)
        elif kind == 1:
            del made[at : at + rng.randint(1, 30)]
        elif kind == 2:
            made[at:at] = made[at : at + rng.randint(1, 200)]
        elif kind == 3:
            words = (b"null", b"-1", b"1e308", b"[]", b"{}", b'""', b"true", b"99999999999")
            made[at:at] = rng.choice(words)
        else:
            end = made.find(b",", at)
            made[at : end if end > 0 else at] = rng.choice((b"0", b'"a"', b"[[]]", b"0.5"))
    return bytes(made)


def revalued(rng: random.Random, text: bytes) -> bytes:
    """Return JSON with one to three of its values changed, so that it is still JSON."""
    made = json.loads(text)
    for _ in range(rng.randint(1, 3)):
        holder = made
        while True:
            keys = list(holder) if isinstance(holder, dict) else range(len(holder))
            key = rng.choice(list(keys))
            if not isinstance(holder[key], dict | list) or not holder[key] or rng.random() < 0.1:
                break
            holder = holder[key]
        value, kind = holder[key], rng.randrange(6)
        if kind == 0:
            del holder[key]
        elif kind == 1 and isinstance(holder, list):
            holder[key:key] = [value] * rng.choice((1, 2, 60))
        elif kind <= 3 and isinstance(value, int | float):
            holder[key] = rng.choice((value + 1, value * 10, value / 3, -value, 60, 0, 119))
        elif kind <= 3 and isinstance(value, str):
            holder[key] = rng.choice((value[::-1], value * 50, "", "1/64", "60", "mm", "\ud800"))
        else:
            holder[key] = rng.choice((None, -1, 1e308, [], {}, "", True, 10**30, "nan", 66, 0.5))
        if not made:
            break
    return json.dumps(made).encode()


def mutations(server: Besieged, text: bytes, count: int) -> None:
    """Send mutated plan files and bodies; none may be answered as a fault of the server."""
    rng, statuses = random.Random(7), {}
    plan = server.json("POST", "/api/plans", {"sample": True})["id"]
    brief = {"title": "A", "count": 12, "borders": [{"width": "4", "fabric": ""}],
             "setting": {"across": 6, "block_size": "8 1/2"}, "pins": [{"cell": 1, "fabric": ""}],
             "sewing": {"form": "fat quarter"}, "seed": 3}  # fmt: skip
    body, kind = json.dumps(brief).encode(), {"content-type": "application/json"}
    late, longest = [], 0.0
    with server.watched() as watch:
        for number in range(count):
            change = mutate if number % 4 < 2 else revalued
            sent = change(rng, text if number % 2 else body)
            since = time.monotonic()
            if number % 2:
                status, _ = server.open(sent)
            else:
                status, _ = server.ask("PATCH", f"/api/plans/{plan}/brief", sent, kind)
            took = time.monotonic() - since
            longest = max(longest, took)
            if took > LATE or status >= 500:
                late.append((number, status, round(took, 1), b"" if number % 2 else sent))
            statuses[status] = statuses.get(status, 0) + 1
    print(watch.words(f"{count} mutated plan files and bodies"))
    print(f"    answers: {dict(sorted(statuses.items()))}; the last came after {longest:.1f} s")
    died = watch.seen - {*family(server.process.pid)}
    faults = sum(statuses[status] for status in statuses if status >= 500)
    print(f"    answers of 500 and above: {faults}; processes that died: {len(died)}")
    for each in late:
        print("    over", LATE, "s or a fault (number, status, s, body):", *each, flush=True)


def silence(server: Besieged) -> None:
    """Hold 500 connections open and say nothing."""
    lines = [socket.create_connection(("127.0.0.1", server.port)) for _ in range(500)]
    with server.watched() as watch:
        began = time.monotonic()
        time.sleep(3)
        gone = 0.0
        for line in lines:
            line.settimeout(max(0.1, 40 - (time.monotonic() - began)))
            try:
                line.recv(1)
            except ConnectionError:
                pass
            except TimeoutError:
                gone = float("inf")
        gone = gone or time.monotonic() - began
    print(watch.words("500 silent connections"))
    print(f"    all gone after {gone:.1f} s")


def dear(server: Besieged, text: bytes) -> None:
    """Ask for drawings of 50 x 50 blocks, booklets and what-if from 20 clients; show a plan."""
    other = server.json("POST", "/api/plans", {"sample": True})["id"]
    status, opened = server.open(text)
    assert status == 201, opened
    large = json.loads(opened)["id"]
    over, answers = threading.Event(), []

    def ask(number: int) -> None:
        asked = (
            f"/api/plans/{large}/drawings/cloth.png?width={1000 + number}",
            f"/api/plans/{large}/booklet.pdf?title={number}",
            f"/api/what-if?form=fat%20quarter&block=nine-patch&least={1 + number % 3}",
            f"/api/plans/{large}/drawings/grey.svg",
        )[number % 4]
        while not over.is_set():
            try:
                answers.append((asked.split("?")[0][-14:], server.ask("GET", asked, seconds=30)[0]))
            except OSError:
                answers.append((asked.split("?")[0][-14:], 0))

    threads = [threading.Thread(target=ask, args=(number,)) for number in range(CLIENTS)]
    for thread in threads:
        thread.start()
    with server.watched(f"/api/plans/{other}") as watch:
        time.sleep(45)
    over.set()
    for thread in threads:
        thread.join()
    print(watch.words(f"showing a plan while {CLIENTS} clients ask for what is dear"))
    print(f"    answers to those: {sorted(set(answers))}")


def hung_up(server: Besieged, text: bytes) -> None:
    """Hang up while a large drawing is made, and see how soon its process ends."""
    large = json.loads(server.open(text)[1])["id"]
    longest = 0.0
    for number in range(4):
        link = socket.create_connection(("127.0.0.1", server.port))
        asked = f"GET /api/plans/{large}/drawings/cloth.png?width={5000 + number} HTTP/1.1"
        link.sendall(f"{asked}\r\nHost: 127.0.0.1\r\n\r\n".encode())
        time.sleep(4)
        before = set(family(server.process.pid))
        link.close()
        began = time.monotonic()
        while before <= set(family(server.process.pid)) and time.monotonic() - began < 30:
            time.sleep(0.02)
        longest = max(longest, time.monotonic() - began)
    print(f"work of clients that hung up ends within {longest:.2f} s")


def mixed(server: Besieged) -> None:
    """Send 2,000 requests of all kinds and see whether memory grows."""
    plan = server.json("POST", "/api/plans", {"sample": True})["id"]
    here, after = f"/api/plans/{plan}", {}
    for number in range(2_000):
        kind = number % 10
        if kind == 0:
            server.json("PATCH", f"{here}/brief", {"title": f"Title {number}"})
        elif kind == 1:
            server.json("POST", f"{here}/layout/swap", {"first": number % 40, "second": 50})
        elif kind == 2:
            server.ask("GET", f"{here}/drawings/flat.png?width={300 + number % 50}")
        elif kind == 3 and number % 200 == 3:
            server.ask("GET", f"{here}/booklet.pdf?title={number}")
        elif kind == 4:
            server.ask("GET", f"{here}/plan.zip")
        elif kind == 5 and number % 100 == 5:
            server.open(server.ask("GET", f"{here}/plan.zip")[1])
        else:
            server.ask("GET", here)
        if number in (0, 500, 1_000, 1_999):
            after[number] = server.memory()
    print(f"memory after so many mixed requests, MB: {after}; "
          f"{after[1_999] / after[500] - 1:+.1%} since 500")  # fmt: skip


def main() -> None:
    """Do all of it, or the parts named."""
    names = sys.argv[1:] or ["shapes", "mutations", "silence", "dear", "hung-up", "mixed"]
    count = int(os.environ.get("MUTATIONS", MUTATIONS))
    large = _large()
    for name in names:
        with besieged() as server:
            sample = server.json("POST", "/api/plans", {"sample": True})["id"]
            text = server.ask("GET", f"/api/plans/{sample}/plan.json")[1]
            {
                "shapes": lambda s=server, t=text: besiege(s, t),
                "mutations": lambda s=server, t=text: mutations(s, t, count),
                "silence": lambda s=server: silence(s),
                "dear": lambda s=server: dear(s, large),
                "hung-up": lambda s=server: hung_up(s, large),
                "mixed": lambda s=server: mixed(s),
            }[name]()
    print(f"load of the machine meanwhile: {os.getloadavg()}")


def _large() -> bytes:
    """Return the file of a plan of 50 x 50 blocks on point."""
    from api.pattern.stored import to_json
    from placement.inches import Inches
    from placement.top.setting.setting import Setting
    from tests.api.varied import varied

    setting = Setting("on point", 50, 50, Inches.parse("8 1/2"))
    plan = varied("sawtooth-star", 1, setting=setting, pins=())
    given = json.loads(to_json(plan))
    # As a plan says that was arranged: to find it out takes longer than all the rest.
    given["found"] = {"wanted": 0, "reach": 200, "bound": 200, "proved": False}
    for number, swatch in enumerate(
        swatch for name in ("swatches", "backgrounds") for swatch in given["brief"][name]
    ):
        swatch["picture"] = f"{number:064x}"
    return json.dumps(given).encode()


if __name__ == "__main__":
    main()
