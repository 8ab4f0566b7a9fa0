"""A plan goes into a file and comes out the same, elsewhere; what is no plan stays outside."""

from __future__ import annotations

import hashlib
import io
import json
import zipfile
from typing import TYPE_CHECKING, Any

import pytest
from fastapi.testclient import TestClient

from api.storage.archive import pack
from api.storage.store import Store
from api.web.app import create_app
from tests.api.talk import Json, ok, problem

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from api.photos.worker_pool import Reader
    from api.storage.kept import Draft, Saved
    from api.web.press import Press


@pytest.fixture
def elsewhere(tmp_path: Path, reader: Reader, press: Press) -> Iterator[TestClient]:
    """Return a client of the program on another database."""
    app = create_app(Store(tmp_path / "elsewhere.sqlite3"), reader=reader, press=press)
    with TestClient(app, base_url="http://127.0.0.1") as opened:
        yield opened


def send(client: TestClient, data: bytes, name: str = "plan.zip") -> Any:
    return client.post("/api/plans/open", files={"file": (name, data)})


def zipped(*entries: tuple[str, bytes], how: int = zipfile.ZIP_DEFLATED) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", how) as archive:
        for name, data in entries:
            archive.writestr(name, data)
    return out.getvalue()


def test_a_plan_opened_elsewhere_is_the_same_to_the_byte(
    client: TestClient, elsewhere: TestClient, plan: Saved
) -> None:
    here = f"/api/plans/{plan.id}"
    ok(client.post(f"{here}/layout/swap", json={"first": 0, "second": 4}))
    file = client.get(f"{here}/plan.zip")
    assert file.headers["content-type"] == "application/zip"
    assert file.headers["content-disposition"] == 'attachment; filename="small-quilt.zip"'
    assert client.get(f"{here}/plan.zip").content == file.content
    opened = send(elsewhere, file.content)
    assert opened.status_code == 201
    view = ok(opened)
    there = f"/api/plans/{view['id']}"
    before = ok(client.get(here))
    assert view["plan"] == before["plan"]
    assert (view["note"], view["revision"]) == ("", 1)
    for address in view["pictures"].values():
        assert elsewhere.get(address).content == client.get(address).content
    for drawing in ("cloth.png", "cloth.svg", "grey.png", "picks.png"):
        wish = {"width": 300}
        one, other = (
            c.get(f"{p}/drawings/{drawing}", params=wish)
            for c, p in ((client, here), (elsewhere, there))
        )
        assert one.content == other.content, drawing
    assert elsewhere.get(f"{there}/plan.zip").content == file.content


def test_the_file_is_one_that_others_can_read(client: TestClient, plan: Saved) -> None:
    data = client.get(f"/api/plans/{plan.id}/plan.zip").content
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        names = archive.namelist()
        assert names[0] == "plan.json"
        for name in names[1:]:
            stored = archive.getinfo(name)
            assert stored.compress_type == zipfile.ZIP_STORED
            assert name == f"pictures/{hashlib.sha256(archive.read(name)).hexdigest()}.jpg"
    assert len(names) == 1 + 5


def test_a_file_that_was_unpacked_and_packed_again_opens(
    elsewhere: TestClient, finished: Draft
) -> None:
    pictures = [(f"pictures/{name}.jpg", data) for name, data in finished.pictures.items()]
    again = zipped(
        ("pictures/", b""),
        ("__MACOSX/._plan.json", b"x"),
        *pictures,
        ("plan.json", finished.body.encode()),
    )
    assert ok(send(elsewhere, again))["note"] == ""


def test_a_plan_without_its_pictures_opens_in_plain_cloth_and_says_so(
    elsewhere: TestClient, finished: Draft
) -> None:
    view = ok(send(elsewhere, finished.body.encode(), "plan.json"))
    assert "lacks 5 pictures" in view["note"]
    assert view["plan"]["layout"] == json.loads(finished.body)["layout"]
    for swatch in view["plan"]["brief"]["swatches"]:
        assert swatch["fabric"]["warnings"][-1]["fault"] == "no picture"
    assert elsewhere.get(view["pictures"]["moss"]).headers["content-type"] == "image/jpeg"
    drawn = elsewhere.get(f"/api/plans/{view['id']}/drawings/cloth.png", params={"width": 200})
    assert drawn.status_code == 200
    name = next(iter(finished.pictures))
    rest = {key: data for key, data in finished.pictures.items() if key != name}
    assert "lacks 1 picture," in ok(send(elsewhere, pack(finished.body, rest, {})))["note"]


def test_pictures_that_are_there_already_are_used(
    client: TestClient, plan: Saved, finished: Draft
) -> None:
    view = ok(send(client, finished.body.encode(), "plan.json"))
    assert view["note"] == ""
    assert client.delete(f"/api/plans/{plan.id}").status_code == 204
    assert client.get(view["pictures"]["moss"]).status_code == 200


def changed(draft: Draft, change: Callable[[Json], object]) -> bytes:
    given = json.loads(draft.body)
    change(given)
    return json.dumps(given).encode()


def swatch(given: Json) -> Json:
    entry: Json = given["brief"]["swatches"][0]
    return entry


WRONG: dict[str, Callable[[Json], object]] = {
    "far more blocks": lambda g: [
        s.update(across=9999, down=1) for s in (g["brief"]["setting"], g["layout"]["setting"])
    ],
    "another setting": lambda g: g["layout"]["setting"].update(across=9),
    "a huge block": lambda g: [
        s.update(block_size="9" * 90) for s in (g["brief"]["setting"], g["layout"]["setting"])
    ],
    "an unknown fabric": lambda g: g["layout"]["fabrics"].__setitem__(0, "nobody"),
    "an id with markup": lambda g: swatch(g)["fabric"].update(id="<svg onload=alert(1)>"),
    "a path as a picture": lambda g: swatch(g).update(picture="../../etc/passwd"),
    "a name of control characters": lambda g: swatch(g)["fabric"].update(name="a\u0000b"),
    "a colour off the scale": lambda g: swatch(g)["fabric"]["reads_as"].update(lightness=900),
    "no number": lambda g: swatch(g)["fabric"]["reads_as"].update(lightness=float("nan")),
    "two of one id": lambda g: g["brief"]["swatches"].append(swatch(g)),
    "a pick of nothing": lambda g: g["choice"]["kept"].__setitem__(0, ""),
    "no setting": lambda g: g["brief"].pop("setting"),
    "an unknown background": lambda g: g["brief"].update(background="nothing"),
    "a field too many": lambda g: g.update(brief=[]),
}


@pytest.mark.parametrize("what", WRONG)
def test_a_plan_that_can_not_be_is_refused_with_a_sentence(
    elsewhere: TestClient, finished: Draft, what: str
) -> None:
    told = problem(send(elsewhere, changed(finished, WRONG[what]), "plan.json"), 422)
    assert "file" in told
    assert elsewhere.get("/api/plans").json() == []


def bomb() -> bytes:
    return zipped(("plan.json", bytes(40_000_000)))


def test_a_file_that_is_none_is_refused_with_a_sentence(
    elsewhere: TestClient, finished: Draft, photo: Callable[..., bytes]
) -> None:
    body, name = finished.body.encode(), next(iter(finished.pictures))
    whole = pack(finished.body, finished.pictures, {})
    picture = (f"pictures/{name}.jpg", finished.pictures[name])
    many = [(f"pictures/{number:064x}.jpg", b"") for number in range(700)]
    hidden = finished.pictures[name] + b"<script>alert(1)</script>"
    secret = hashlib.sha256(hidden).hexdigest()
    hiding = finished.body.replace(name, secret).encode()
    foreign = {
        "damaged or no plan": b"hello",
        "holds 'cat.jpg'": zipped(("cat.jpg", photo((1, 2, 3)))),
        "no plan.json": zipped(picture),
        "no part of a plan": zipped(("../../x.jpg", b"x"), ("plan.json", body)),
        "cut short": whole[:-30],
        "damaged or locked": whole.replace(b"\xff\xd8\xff", b"\xff\xd8\xfe"),
        "larger than any plan": bomb(),
        "fewer": zipped(("plan.json", body), *many),
        "picture 1 in this file is damaged": zipped(
            ("plan.json", body), (picture[0], photo((1, 2, 3)))
        ),
        "more than pixels|no jpeg": zipped(
            ("plan.json", hiding), (f"pictures/{secret}.jpg", hidden)
        ),
        "far more": zipped(*((f"{number:0200}", b"") for number in range(2000))),
    }
    for words, data in foreign.items():
        told = problem(send(elsewhere, data), 422)
        assert any(part in told.lower() for part in words.split("|")), (words, told)
    assert elsewhere.get("/api/plans").json() == []


def test_two_files_of_one_name_are_refused(elsewhere: TestClient, finished: Draft) -> None:
    body = finished.body.encode()
    with pytest.warns(UserWarning, match="Duplicate name"):
        twice = zipped(("plan.json", body), ("plan.json", body))
    assert "two files of one name" in problem(send(elsewhere, twice), 422)
