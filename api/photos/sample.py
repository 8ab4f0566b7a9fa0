"""The sample bundle that comes with the program, as a brief."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from api.files import demo_folder
from api.pattern.brief import Band, Brief
from api.pattern.edits import new_id
from api.photos.intake import Intake, take_in
from palette.photo.read import read
from placement.inches import Inches
from placement.top.setting.setting import Setting

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator


@dataclass(frozen=True, slots=True)
class SamplePhoto:
    """One photo of the sample bundle, not read yet."""

    path: Path
    """Where it lies."""
    id: str
    """Id of its fabric."""
    name: str
    """Its spoken name."""


def _scenario() -> dict[str, Any]:
    text = (demo_folder() / "scenario.json").read_text(encoding="utf-8")
    scenario: dict[str, Any] = json.loads(text)
    return scenario


def _photos(names: dict[str, str]) -> Iterator[SamplePhoto]:
    files = {path.stem: path for path in demo_folder().iterdir()}
    for stem, name in names.items():
        yield SamplePhoto(files[stem], new_id(stem, ()), name)


def sample_story() -> str:
    """Return what the sample quilt is made for, in a sentence or two."""
    return str(_scenario()["story"])


def sample_photos() -> tuple[SamplePhoto, ...]:
    """Return the photos of the sample bundle, candidate backgrounds last."""
    scenario = _scenario()
    return (*_photos(scenario["fabrics"]), *_photos(scenario["backgrounds"]))


def take_in_photo(photo: SamplePhoto) -> Intake:
    """Read one photo of the sample bundle."""
    scenario = _scenario()
    reading = read(photo.path.read_bytes(), id=photo.id, name=photo.name)
    # The photos are drawn: what is read from them is as sure as told colours are.
    told = replace(reading, fabric=replace(reading.fabric, photo=""))
    shows = Inches.parse(scenario["shows_inches"])
    return take_in(told, shows, directional=photo.path.stem in scenario["directional"])


def sample_brief(intakes: Iterable[Intake]) -> Brief:
    """Return the brief of the sample plan, from all its photos as taken in."""
    scenario = _scenario()
    swatches = {intake.swatch.fabric.id: intake.swatch for intake in intakes}
    grounds = [new_id(stem, ()) for stem in scenario["backgrounds"]]
    return Brief(
        title=scenario["title"],
        swatches=tuple(swatch for name, swatch in swatches.items() if name not in grounds),
        backgrounds=tuple(swatches[name] for name in grounds),
        background=new_id(scenario["background"], ()),
        count=scenario["pick"],
        setting=Setting(
            "on point",
            scenario["across"],
            scenario["down"],
            Inches.parse(scenario["block_inches"]),
        ),
        block=scenario["block"],
        borders=(Band(Inches.parse(scenario["border_inches"])),),
    )
