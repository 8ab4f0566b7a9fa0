"""Plans of earlier forms: nothing that was decided is lost when they are read."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from api.pattern.brief import Band, Brief, Family
from api.pattern.planner import look, make
from api.pattern.stored import from_json, to_json
from api.storage.kept import Draft
from api.storage.store import Store
from placement.inches import Inches

if TYPE_CHECKING:
    from pathlib import Path

BARE = look(Brief())


def _written(border: str, fabric: str = "") -> dict[str, Any]:
    """Return a plan as form 1 wrote it."""
    data: dict[str, Any] = json.loads(to_json(BARE))
    for name in ("borders", "binding_fabric", "backing_fabric", "second_fabric"):
        del data["brief"][name]
    data["brief"] |= {"border": border, "border_fabric": fabric}
    return data | {"format": 1}


@pytest.mark.parametrize(
    ("border", "fabric", "bands"),
    [
        ("4", "", (Band(Inches.parse(4)),)),
        ("2 1/2", "moss", (Band(Inches.parse("2 1/2"), "moss"),)),
        ("65 mm", "moss", (Band(Inches.parse("65 mm"), "moss"),)),
        ("0", "moss", ()),
        ("0 mm", "", ()),
    ],
)
def test_the_border_of_a_plan_of_form_1_is_kept(
    border: str, fabric: str, bands: tuple[Band, ...]
) -> None:
    read = from_json(json.dumps(_written(border, fabric)))
    assert read.brief.borders == bands
    assert from_json(to_json(read)) == read


def test_what_form_2_called_otherwise_is_kept_under_its_own_name() -> None:
    brief = Brief(families=(Family("moss", 1), Family("brick", 0)))
    data = json.loads(to_json(replace(BARE, brief=brief)))
    data["brief"]["setting"]["block"] = data["brief"]["setting"].pop("block_size")
    for entry in data["brief"]["families"]:
        entry["cells"] = entry.pop("family")
    read = from_json(json.dumps(data | {"format": 2}))
    assert read.brief == brief


def test_a_plan_of_form_1_without_a_border_gets_the_usual_one() -> None:
    data = _written("4")
    del data["brief"]["border"], data["brief"]["border_fabric"]
    assert from_json(json.dumps(data)).brief.borders == Brief().borders


def test_a_wrong_border_of_an_old_plan_is_told() -> None:
    with pytest.raises(ValueError, match="'4 apples' is not a length"):
        from_json(json.dumps(_written("4 apples")))


def test_a_stored_plan_of_form_1_keeps_its_border(tmp_path: Path) -> None:
    store = Store(tmp_path / "plans.sqlite3")
    saved = store.add(Draft("Old", json.dumps(_written("3", "moss")), "Began"))
    band = from_json(store.get(saved.id).body).brief.borders[0]
    store.close()
    assert band == Band(Inches.parse(3), "moss")


def test_what_form_2_kept_of_a_choice_in_sentences_is_known_again_as_facts(brief: Brief) -> None:
    plan = make(replace(brief, count=len(brief.swatches) + 1))
    assert plan.choice is not None
    assert plan.choice.problems
    data = json.loads(to_json(plan))
    data["choice"] |= {"problems": ["You want more."], "relax": [{"sentence": "Let pass."}]}
    for entry in data["choice"]["left_out"]:
        entry["sentence"] = "It is so."
    data |= {"format": 2, "problems": ["You want more."], "quality": data.pop("found")}
    assert from_json(json.dumps(data)) == plan


def test_a_form_of_cloth_sold_in_metric_sizes_stays_one_of_them(brief: Brief) -> None:
    # Form 2 told the units in the form's name; common practice: a metric fat quarter is 50 x 55 cm.
    data = json.loads(to_json(look(brief)))
    old = {**data, "format": 2, "brief": {**data["brief"], "sewing": {
        "form": "metric fat quarter", "cloths": [
            {"fabric": "solid-0", "form": "metric yardage"},
            {"fabric": "solid-1", "form": "ten-inch square", "count": 2}]}}}  # fmt: skip
    sewing = from_json(json.dumps(old)).brief.sewing
    usual = sewing.usual_form("inches")
    assert (usual.kind, usual.units) == ("fat quarter", "metric")
    assert usual.nominal_width == Inches.parse("55 cm")
    assert [(c.form, c.units, c.count) for c in sewing.cloths] == [
        ("yardage", "metric", 1), ("ten-inch square", None, 2)]  # fmt: skip
