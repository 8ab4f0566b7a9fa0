"""What goes over the wire about photos of fabrics: what became of them, and putting them right."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from pydantic import AfterValidator, BaseModel, Field, WithJsonSchema

from api.pattern.changes import Wish
from api.pattern.swatch import Taken
from api.photos.worker import place
from api.web.wire.bundle import BundleOut, Corners
from api.web.wire.responses import Answered
from palette.colour import HEX, parse_hex
from palette.photo.paper_kind import PaperKind

if TYPE_CHECKING:
    from palette.photo.quad import Quad


class PhotoResult(BaseModel):
    """What became of one photo."""

    file: str = Field(description="The name it was sent under.")
    fabric: str | None = Field(description="Id of the fabric read from it.")
    problem: str | None = Field(description="Why it could not be read and what to do.")
    bundle: BundleOut | None = Field(
        description="Several fabrics that it shows: nothing was added yet; look at them, correct "
        "what was found, and accept them."
    )


class Uploaded(BaseModel):
    """What became of the photos, and the plan with them."""

    results: list[PhotoResult] = Field(description="In the order of the photos.")
    plan: Answered


def _white(text: str) -> str:
    place(text)
    return text


class TakenIn(Wish):
    """How a fabric is to be read from its photo; what is left out is found by itself."""

    corners: Corners | None = Field(
        default=None, description="Where the cloth lies in the photo; found by itself unless given."
    )
    whole: bool = Field(default=False, description="Whether all of the photo is cloth.")
    white: Annotated[str, AfterValidator(_white)] = Field(
        default="auto",
        max_length=80,
        description="What corrects the colours: 'auto' looks for white paper, 'none' leaves them, "
        "and 'left,top,right,bottom' (or 'x,y'), parts of the photo, tells where paper lies.",
        examples=["0.05,0.8,0.2,0.95"],
    )
    paper: PaperKind = Field(
        default=PaperKind.OFFICE, strict=False, description="Kind of that paper."
    )
    even: bool = Field(default=True, description="Whether light that falls off is evened.")
    colour: (
        Annotated[
            str,
            AfterValidator(parse_hex),
            WithJsonSchema({"title": "Colour", "type": "string", "pattern": f"^{HEX}$"}),
        ]
        | None
    ) = Field(
        default=None,
        description="The colour that it is to read as, in place of the one in the photo.",
        examples=["#a83e32"],
    )

    def taken(self, before: Taken) -> Taken:
        """Return it as a value; ValueError if the corners enclose nothing."""
        return Taken(
            before.photo,
            before.found,
            self._quad(),
            whole=self.whole,
            white=self.white,
            paper=self.paper,
            even=self.even,
            colour=self.colour or "",
        )

    def _quad(self) -> Quad | None:
        from palette.photo.quad import Quad

        return None if self.corners is None or self.whole else Quad.given(self.corners)


class ReadOut(BaseModel):
    """What a fabric would be, read like that."""

    picture: str = Field(description="What would be shown of it, as a data address.")
    reads_as: str = Field(description="Its colour, as a web colour.", examples=["#a83e32"])
    corners: Corners | None = Field(
        description="Where the cloth was found to lie; null where all of the photo is cloth."
    )
    notes: list[str] = Field(description="What was left out, and what may be wrong.")
