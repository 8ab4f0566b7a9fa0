"""Hostile photos meet a child process, not the server."""

from __future__ import annotations

import io
import os
import struct
import threading
import zlib
from typing import TYPE_CHECKING

import pytest
from PIL import Image

from api.photos.worker_pool import Reader
from palette.photo.open import PhotoError
from palette.photo.read import read

if TYPE_CHECKING:
    from collections.abc import Callable

TERRACOTTA = (176, 92, 66)


def png_header(width: int, height: int) -> bytes:
    """Return the start of a PNG that claims a size (PNG specification, 11.2.2)."""
    body = b"IHDR" + struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + struct.pack(">I", 13) + body + struct.pack(">I", zlib.crc32(body))


def process_of(reader: Reader) -> int:
    """Return the process id of a reader's only child."""
    running = reader._children[0]._running
    assert running is not None
    assert running.process.pid is not None
    return running.process.pid


def test_a_child_reads_a_photo_as_it_is_read_directly(
    reader: Reader, photo: Callable[..., bytes]
) -> None:
    data = photo(TERRACOTTA)
    assert reader.read(data, id="a", name="Terracotta") == read(data, id="a", name="Terracotta")


def test_a_photo_is_taken_into_memory_only_when_a_child_is_free(
    photo: Callable[..., bytes],
) -> None:
    reader, data = Reader(1), photo(TERRACOTTA)
    child = reader._idle.get()
    came = threading.Event()

    def taken() -> bytes:
        came.set()
        return data

    try:
        how = {"id": "a", "name": "A", "white": "none"}
        waiting = threading.Thread(target=reader.do, args=("read", taken, how))
        waiting.start()
        assert not came.wait(0.2)
        reader._idle.put(child)
        waiting.join(10)
        assert came.is_set()
    finally:
        reader.close()


def test_a_sentence_about_a_photo_comes_through(reader: Reader) -> None:
    with pytest.raises(PhotoError) as direct:
        read(b"no photo", id="a", name="Oddity")
    with pytest.raises(PhotoError) as through:
        reader.read(b"no photo", id="a", name="Oddity")
    assert str(through.value) == str(direct.value)


@pytest.mark.parametrize(
    "data",
    [b"", b"\xff\xd8\xff", png_header(30_000, 30_000), png_header(1, 2**31 - 1), os.urandom(5000)],
    ids=["empty", "a mere beginning", "a bomb", "a line", "noise"],
)
def test_what_is_no_photo_gets_a_sentence_and_the_child_lives_on(
    reader: Reader, photo: Callable[..., bytes], data: bytes
) -> None:
    reader.read(photo(TERRACOTTA), id="a", name="Good")
    child = process_of(reader)
    with pytest.raises(PhotoError, match="Oddity"):
        reader.read(data, id="a", name="Oddity")
    assert process_of(reader) == child


def test_a_photo_is_tried_once_more_when_an_idle_child_has_died(
    reader: Reader, photo: Callable[..., bytes]
) -> None:
    reader.read(photo(TERRACOTTA), id="a", name="Good")
    child = process_of(reader)
    os.kill(child, 9)
    assert reader.read(photo(TERRACOTTA), id="a", name="Lucky").fabric.name == "Lucky"
    assert process_of(reader) != child


def test_a_photo_that_takes_too_long_is_refused_and_its_child_killed(
    photo: Callable[..., bytes],
) -> None:
    hasty = Reader(1, seconds=0.001)
    with pytest.raises(PhotoError, match=r"Slow.*within 0\.001 seconds"):
        hasty.read(photo(TERRACOTTA, side=1500), id="a", name="Slow")
    assert hasty._children[0]._running is None


def test_a_photo_that_needs_too_much_memory_is_refused() -> None:
    # 49 megapixels are 147 MB as RGB, beside what the libraries take.
    out = io.BytesIO()
    Image.new("RGB", (7000, 7000), TERRACOTTA).save(out, "PNG", compress_level=1)
    poor = Reader(1, memory=300_000_000)
    with pytest.raises(PhotoError, match="Huge"):
        poor.read(out.getvalue(), id="a", name="Huge")
    poor.close()


def test_many_threads_share_the_children(reader: Reader, photo: Callable[..., bytes]) -> None:
    names: list[str] = []
    data = photo(TERRACOTTA)

    def work(name: str) -> None:
        names.append(reader.read(data, id="a", name=name).fabric.name)

    threads = [threading.Thread(target=work, args=(str(number),)) for number in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(names) == [str(number) for number in range(6)]


def test_no_child_is_started_before_it_is_needed_or_lives_after_the_end(
    photo: Callable[..., bytes],
) -> None:
    idle = Reader(2)
    assert all(child._running is None for child in idle._children)
    idle.read(photo(TERRACOTTA), id="a", name="One")
    assert sum(child._running is not None for child in idle._children) == 1
    running = [child._running for child in idle._children if child._running]
    idle.close()
    assert not running[0].process.is_alive()
