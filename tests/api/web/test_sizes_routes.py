"""Which sizes suit a pre-cut or a bed, over HTTP: what the command line prints, as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from fastapi.testclient import TestClient

    from api.storage.kept import Saved

WHAT_IF = "/api/what-if"


def _ok(client: TestClient, address: str, **query: str | int) -> Any:
    answer = client.get(address, params=query)
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_four_blocks_of_seven_inches_come_from_a_fat_eighth(client: TestClient) -> None:
    # Inverse design, common practice: an uneven nine-patch with four small corners, four blocks
    # from a fat eighth 8 1/2 in high as usable: finished height - 6q, 7 in.
    asked = {"form": "fat eighth", "block": "uneven-nine-patch", "least": "7", "most": "7 1/4"}
    told = _ok(client, WHAT_IF, **asked)
    assert told["form"]["usable"] == "8 1/2 in x 20 1/2 in"
    first, second = told["rows"]
    assert first["finished"] == "7"
    assert first["usable"]["blocks"] >= 4
    assert second["finished"] == "7 1/4"
    assert 0 <= first["usable"]["waste"] < 1
    assert first["usable"]["words"].startswith(f"{first['usable']['blocks']} blocks, ")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"form": "bolt of linen"}, "there is no form of cloth 'bolt of linen'; choose one of"),
        ({"form": "yardage"}, "choose a pre-cut for what-if"),
        ({"block": "no-such"}, "there is no block 'no-such'; choose one of"),
        ({"least": "wide"}, "'wide' is not a length"),
        ({"least": "0"}, "a block of 0 is not from 1 to 24 in"),
        ({"most": "99"}, "a block of 99 is not from 1 to 24 in"),
        ({"least": "9", "most": "8"}, "sizes from 9 to 8 in steps of 1/4 make no range"),
        ({"least": "-3"}, "'-3' is not a length"),
    ],
)
def test_what_can_not_be_asked_is_told_in_a_sentence(
    client: TestClient, change: dict[str, str], says: str
) -> None:
    asked = {"form": "fat eighth", "block": "nine-patch", "least": "8", "most": "8", **change}
    answer = client.get(WHAT_IF, params=asked)
    assert answer.status_code == 422
    assert says.casefold() in answer.json()["detail"].casefold()


def test_the_same_pattern_is_sized_for_every_bed(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    borders = [{"width": "1", "fabric": "moss"}, {"width": "2", "fabric": "brick"}]
    assert client.patch(f"{here}/brief", json={"borders": borders}).status_code == 200
    told = _ok(client, f"{here}/sizes", drop="14", fabrics=4)
    assert (told["drop"], told["fabrics"]) == ("14 in", 4)
    rows = {(row["bed"], row["way"]): row for row in told["rows"]}
    # Guild chart: queen with a drop of 14 in is 88 x 94 in.
    assert rows["queen", "fewer"]["wanted"] == "88 in x 94 in"
    assert rows["queen", "more"]["words"] == "Queen, more blocks"
    for row in rows.values():
        assert row["blocks"] == row["across"] * row["down"]  # the plan is set straight
        assert row["size"]["width"] == pytest.approx(row["across"] * 6 + 2 * _inches(row["border"]))
        assert _inches(row["border"]) >= 3
        assert {"moss", "brick", "background"} <= {line.split(":")[0] for line in row["buy"]}
        assert any(line.startswith("Backing, ") for line in row["buy"])


def test_a_bed_that_is_chosen_makes_a_plan_of_its_size(client: TestClient, plan: Saved) -> None:
    here = f"/api/plans/{plan.id}"
    for row in _ok(client, f"{here}/sizes", drop="12", fabrics=4)["rows"]:
        if row["bed"] != "queen":
            continue
        change = {"across": row["across"], "down": row["down"]}
        body = {"setting": change, "borders": row["borders"]}
        assert client.patch(f"{here}/brief", json=body).status_code == 200
        size = client.get(here).json()["size"]
        assert (size["width"], size["height"]) == (row["size"]["width"], row["size"]["height"])
        # Queen 60 x 80 in, 12 in at both sides and the foot.
        assert size["width"] >= 84
        assert size["height"] >= 92


def test_a_drop_that_no_bed_has_is_told(client: TestClient, plan: Saved) -> None:
    for drop, says in (("41", "a drop of 41 is not from 0 to 40 in"), ("low", "not a length")):
        answer = client.get(f"/api/plans/{plan.id}/sizes", params={"drop": drop})
        assert answer.status_code == 422
        assert says.casefold() in answer.json()["detail"].casefold()
    assert client.get("/api/plans/nowhere/sizes").status_code == 404


def _inches(words: str) -> float:
    whole, _, part = words.removesuffix(" in").partition(" ")
    top, _, bottom = part.partition("/")
    return float(whole) + (float(top) / float(bottom) if part else 0.0)
