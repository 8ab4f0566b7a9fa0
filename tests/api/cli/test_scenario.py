"""A pattern worked by hand, number by number, through the whole program: photos to text and print.

The uneven nine patch of 7 in (1 3/4, 3 1/2, 1 3/4), 18 fabrics of four blocks from fat eighths
(8 1/2 x 20 1/2 in usable), on point 6 x 7, seams of 1/4 in, yardage 40 in wide. Every number
is worked by hand from these; the way of cutting is common practice.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

import pytest
from pypdf import PdfReader

from api.booklet.lengths import flat
from tests.api.cli.test_cli import DEMO, _run

pytestmark = pytest.mark.slow

BLOCK = {"name": "Uneven nine patch", "columns": [1, 2, 1], "rows": [1, 2, 1],
         "patches": ["F B F", "B F B", "F B F"]}  # fmt: skip
LINEN = DEMO / "background-oat-linen.jpg"


@dataclass(frozen=True)
class Made:
    """A plan and what the program says of cutting it."""

    plan: Path
    text: str


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Made:
    folder = tmp_path_factory.mktemp("scenario")
    own = folder / "own.json"
    own.write_text(json.dumps(BLOCK))
    photos = sorted(path for path in DEMO.glob("*.jpg") if "background" not in path.name)
    done = _run("plan", *photos, LINEN, DEMO / "background-ink.jpg", "--background", LINEN,
                "--count", 18, "--across", 6, "--down", 7, "--block-size", 7, "--own-block", own,
                "--form", "fat eighth", "--border", "none", "--binding-fabric", "background ink",
                "--out", folder / "quilt")  # fmt: skip
    assert done.returncode == 0, done.stderr
    plan = folder / "quilt" / "plan.json"
    done = _run("cut", plan)
    assert done.returncode == 0, done.stderr
    return Made(plan, done.stdout)


def test_every_fat_eighth_is_one_strip_of_4_and_two_of_2_1_4(made: Made) -> None:
    assert "Each of 18 fabrics, fat eighth: " in made.text
    # 4 + 2 x 2 1/4 in are all of 8 1/2 in.
    assert "Fits a fat eighth with no height to spare: square up sparingly." in made.text
    assert "- Stack 6 fabrics and cut them together: 3 times." in made.text
    assert "- Cut 1 strip 4 in and 2 strips 2 1/4 in across the cloth, used whole: " in made.text


def test_the_background_is_cut_across_halved_and_from_the_ends(made: Made) -> None:
    # 9 x 4 + 18 x 2 1/4 + 2 x 11 1/8 in.
    assert "Takes 98 3/4 in of cloth 40 in wide; buy 2 7/8 yd." in made.text
    assert (
        "- Cut 9 strips 4 in and 18 strips 2 1/4 in across the width, halve all at the fold: 18 "
        "strips of 4 in x 20 in and 36 strips of 2 1/4 in x 20 in for strip sets."
    ) in made.text
    # Three squares of 11 1/8 in are 33 3/8 of 40 in; 6 5/8 in are left.
    assert (
        "- Cut 2 strips 11 1/8 in across the width; from each 3 squares of 11 1/8 in for side "
        "triangles, and from its end 1 square of 5 7/8 in for corner triangles."
    ) in made.text
    assert "- Cut each of the 6 squares of 11 1/8 in for side triangles twice" in made.text
    assert "- Cut each of the 2 squares of 5 7/8 in for corner triangles once" in made.text
    assert "22 side triangles: cut 6 squares of 11 1/8 in" in made.text
    assert "(exact: 11.1066 in" in made.text
    assert "(exact: 5.8033 in" in made.text


def test_the_strip_sets_give_eight_slices_and_four(made: Made) -> None:
    ground = "background oat linen"
    for said in (
        f"1 set of fabric 2 1/4 in + {ground} 4 in + fabric 2 1/4 in; cut 8 slices of 2 1/4 in.",
        f"1 set of {ground} 2 1/4 in + fabric 4 in + {ground} 2 1/4 in; cut 4 slices of 4 in.",
    ):
        assert f"- For each of 18 fabrics: sew {said}" in made.text


def test_least_cloth_stands_beside_the_simplest_and_can_be_chosen(made: Made) -> None:
    assert "this takes 98 3/4 in, " in made.text
    least = _run("cut", made.plan, "--dry-run", "--aim", "least").stdout
    assert "The simplest plan takes 98 3/4 in (buy 2 7/8 yd) with 3 instructions, 4 ruler" in least
    assert "halve all at the fold" not in least


def test_squares_of_her_own_are_cut_and_what_they_do_is_said(made: Made) -> None:
    done = _run("cut", made.plan, "--dry-run", "--side-square", 12, "--corner-square", "6 1/2")
    # By hand: a side of 12 in floats the blocks by (12 - 11.1066) / 2 = 0.447 in.
    for said in ("6 squares of 12 in", "2 squares of 6 1/2 in", "clear the block points by 0.447"):
        assert said in done.stdout


def test_the_printed_pattern_says_the_same(made: Made, tmp_path: Path) -> None:
    pdf = tmp_path / "pattern.pdf"
    done = _run("booklet", made.plan, "--out", pdf)
    assert done.returncode == 0, done.stderr
    text = flat(" ".join(page.extract_text() for page in PdfReader(pdf).pages))
    for said in (
        "18 fat eighths",
        "Stack 6 fabrics and cut them together: 3 times.",
        'Cut 1 strip 4" and 2 strips 2 1/4" across the cloth, used whole: 1 strip of 4" × 20 1/2"',
        (
            'Cut 9 strips 4" and 18 strips 2 1/4" across the width, halve all at the fold: 18 '
            'strips of 4" × 20" and 36 strips of 2 1/4" × 20" for strip sets'
        ),
        (
            'Cut 2 strips 11 1/8" across the width; from each 3 squares of 11 1/8" for side '
            'triangles, and from its end 1 square of 5 7/8" for corner triangles'
        ),
        'Cut each of the 6 squares of 11 1/8" for side triangles twice',
        'this takes 98 3/4", 7 3/4" more, with 3 instructions, 4 ruler settings and 39 cuts.',
    ):
        assert said in text, said
