"""White paper and charts, against colour-science and simulated cameras and lights."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import pytest

from palette.colour import Lab, difference, lab_to_light, light_to_lab
from palette.photo.box import Box
from palette.photo.paper_kind import PAPERS, PaperKind
from palette.photo.reference import Curve, Reference
from palette.photo.white_paper import (
    WhiteError,
    chart_reference,
    read_chart,
    white_reference,
)
from tests.bench import spectra

if TYPE_CHECKING:
    from types import ModuleType

TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
"""IEC 61966-2-1."""


def test_adaptation_is_the_sharp_transform_as_colour_science_has_it(
    colour_science: ModuleType,
) -> None:
    seen, paper = np.array([0.9, 0.6, 0.3]), Lab(94, 1, -4)
    light = np.random.default_rng(1).uniform(0, 1, (50, 3))
    mine = white_reference(seen, paper).correct(light)
    here, there = TO_XYZ @ seen, TO_XYZ @ lab_to_light(paper.array())
    matrix = colour_science.adaptation.matrix_chromatic_adaptation_VonKries(
        here / here[1], there / there[1], transform="Sharp"
    )
    theirs = light @ TO_XYZ.T @ matrix.T * (there[1] / here[1])
    np.testing.assert_allclose(mine @ TO_XYZ.T, theirs, atol=5e-6)


def test_a_photo_in_neutral_daylight_keeps_its_colours() -> None:
    paper = Lab(95, 0, 0)
    light = np.random.default_rng(2).uniform(0, 1, (50, 3))
    kept = white_reference(lab_to_light(paper.array()), paper).correct(light)
    np.testing.assert_allclose(kept, light, atol=5e-6)
    darker = white_reference(0.5 * lab_to_light(paper.array()), paper).correct(0.5 * light)
    np.testing.assert_allclose(darker, light, atol=5e-6)


@pytest.mark.parametrize("camera", spectra.CAMERAS)
@pytest.mark.parametrize(
    ("kind", "median", "p95"), [("daylight", 2.1, 5.0), ("tungsten", 3.8, 8.6)]
)
def test_white_paper_corrects_the_light_of_a_room(
    camera: str, kind: str, median: float, p95: float
) -> None:
    eye, cloths, paper = spectra.camera(camera), spectra.cie_reflectances(), spectra.paper()[None]
    told, before = [], []
    for name in spectra.HOUSEHOLD_LIGHTS[kind]:
        source = spectra.light_source(name)
        exposure = 0.6 / eye.light(paper, source).max()
        seen = exposure * eye.light(cloths, source)
        white = white_reference(
            exposure * eye.light(paper, source)[0], Lab.rounded(spectra.truth(paper)[0])
        )
        told.append(difference(light_to_lab(white.correct(seen)), spectra.truth(cloths)))
        before.append(difference(light_to_lab(seen), spectra.truth(cloths)))
    assert np.median(told) < median
    assert np.percentile(told, 95) < p95
    assert np.median(told) < np.median(before) / 3


@pytest.mark.parametrize("camera", spectra.CAMERAS)
def test_lamps_are_adapted_better_than_by_bradford(camera: str, colour_science: ModuleType) -> None:
    eye, cloths, paper = spectra.camera(camera), spectra.cie_reflectances(), spectra.paper()[None]
    known, true = Lab.rounded(spectra.truth(paper)[0]), spectra.truth(cloths)
    there, sharp, bradford = TO_XYZ @ lab_to_light(known.array()), [], []
    for name in sum((spectra.HOUSEHOLD_LIGHTS[kind] for kind in ("tungsten", "white LED")), ()):
        seen = 0.3 * eye.light(cloths, spectra.light_source(name))
        card = 0.3 * eye.light(paper, spectra.light_source(name))[0]
        matrix = colour_science.adaptation.matrix_chromatic_adaptation_VonKries(
            TO_XYZ @ card, there, transform="Bradford"
        )
        by_bradford = seen @ TO_XYZ.T @ matrix.T @ np.linalg.inv(TO_XYZ).T
        sharp.append(difference(light_to_lab(white_reference(card, known).correct(seen)), true))
        bradford.append(difference(light_to_lab(by_bradford), true))
    assert np.median(sharp) < 0.96 * np.median(bradford)
    assert np.percentile(sharp, 95) < 1.02 * np.percentile(bradford, 95)


def test_a_chart_corrects_more_than_paper() -> None:
    eye, source = spectra.camera(spectra.CAMERAS[1]), spectra.light_source("LED-B3")
    cloths, chart = spectra.cie_reflectances(), spectra.chart_reflectances()
    paper = white_reference(0.4 * eye.light(spectra.paper()[None], source)[0])
    patches = chart_reference(0.4 * eye.light(chart, source), spectra.truth(chart))
    left = [
        np.median(
            difference(
                light_to_lab(way.correct(0.4 * eye.light(cloths, source))), spectra.truth(cloths)
            )
        )
        for way in (paper, patches)
    ]
    assert left[1] < 0.9 * left[0]
    assert patches.how == "chart"


def test_a_chart_undoes_what_a_camera_bent() -> None:
    known = spectra.truth(spectra.chart_reflectances())
    cloths = spectra.truth(spectra.cie_reflectances())
    bend = Curve(0.8, 0.06, 0.005, 0.95)
    seen, worn = (bend.straight(lab_to_light(lab)) for lab in (known, cloths))
    reference = chart_reference(seen, known)
    plain = replace(chart_reference(seen, known), curve=None)
    left, before = (
        np.median(difference(light_to_lab(way.correct(worn)), cloths)) for way in (reference, plain)
    )
    assert left < 1
    assert before > 3
    assert reference.curve is not None
    assert reference.curve.is_rising()


def test_a_curve_goes_on_in_proportion_beyond_what_it_was_fitted_to() -> None:
    curve = Curve(0.8, 0.05, 0.01, 0.9)
    ends = curve.straight(np.array([0.01, 0.9]))
    beyond = curve.straight(np.array([0.0, 0.005, 1.8, -0.01]))
    np.testing.assert_allclose(beyond, [0, ends[0] / 2, 2 * ends[1], -ends[0]])


def test_every_kind_of_paper_has_a_colour() -> None:
    assert set(PAPERS) == set(PaperKind)
    # CIE 15:2018: a reflectance of 18 % has L* 49.5.
    assert PAPERS[PaperKind.GREY_CARD].lightness == pytest.approx(
        116 * 0.18 ** (1 / 3) - 16, abs=0.1
    )


def test_yellowed_paper_that_is_described_corrects_like_white_paper() -> None:
    cream = Lab(90, 2, 14)
    seen = lab_to_light(cream.array()) * [0.8, 0.6, 0.4]
    cloth = np.array([0.2, 0.1, 0.3])
    by_cream = light_to_lab(white_reference(seen, cream).correct(cloth * [0.8, 0.6, 0.4]))
    taken_for_white = light_to_lab(white_reference(seen).correct(cloth * [0.8, 0.6, 0.4]))
    assert difference(by_cream, light_to_lab(cloth)) < 3
    assert difference(taken_for_white, light_to_lab(cloth)) > 5


@pytest.mark.parametrize(
    ("seen", "said"),
    [((0.99, 0.8, 0.7), "over-exposed"), ((0.01, 0.02, 0.01), "dark"), ((0.5, 0.4, 0.0), "dark")],
)
def test_paper_that_is_too_bright_or_too_dark_is_refused(
    seen: tuple[float, float, float], said: str
) -> None:
    with pytest.raises(WhiteError, match=said):
        white_reference(np.array(seen))


def test_a_chart_of_too_few_or_too_like_patches_is_refused() -> None:
    known = spectra.truth(spectra.chart_reflectances())
    light = 0.5 * lab_to_light(known)
    with pytest.raises(WhiteError, match="only 5 patches"):
        chart_reference(light[:5], known[:5])
    greys = np.array([[level, 0, 0] for level in (30, 40, 50, 60, 70, 80, 90)], dtype=float)
    with pytest.raises(WhiteError, match="too much alike"):
        chart_reference(0.5 * lab_to_light(greys), greys)


def test_a_chart_file_is_read_and_its_faults_are_named() -> None:
    good = {"box": [0.1, 0.1, 0.2, 0.2], "lab": [50, 10, -20]}
    (patch,) = read_chart(json.dumps({"patches": [good]}))
    assert (patch.box, patch.colour) == (Box(0.1, 0.1, 0.2, 0.2), Lab(50, 10, -20))
    for wrong, said in (
        ("{", "not readable"),
        ("[]", "not readable"),
        (json.dumps({"patches": 5}), "not readable"),
        (json.dumps({"patches": [good, {"box": [0, 0, 1, 2], "lab": [50, 0, 0]}]}), "patch 2"),
        (json.dumps({"patches": [{"box": [0, 0, 1, 1], "lab": [150, 0, 0]}]}), "lightness"),
        (json.dumps({"patches": [{"lab": [50, 0, 0]}]}), "patch 1"),
        (json.dumps({"patches": ["red"]}), "patch 1"),
    ):
        with pytest.raises(WhiteError, match=said):
            read_chart(wrong)


def test_a_reference_of_wrong_numbers_is_refused() -> None:
    with pytest.raises(ValueError, match="3 x 3 finite numbers"):
        Reference(((1, 0, 0), (0, float("nan"), 0), (0, 0, 1)), "white")
