"""What may be wrong with a photo, in plain words, and what to do about it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from api.wording.english import agree, listed, number, percent
from palette.bundle.result import BundleFault
from palette.fabric import NotCloth, PhotoFault, Side

if TYPE_CHECKING:
    from palette.bundle.result import BundleWarning, Found
    from palette.fabric import CutAway, PhotoWarning

_MOST = 4
"""Pieces that are named in one warning; of more the first two are."""

_TOLD = 0.005
"""Part of a photo that is told: what is less would be called 0 %."""

_PHOTO = {
    PhotoFault.FEW_PIXELS: (
        "The photo has only {size} pixels, so fine parts of the print may be lost; take one of at "
        "least 600 x 600."
    ),
    PhotoFault.FEW_PIXELS_IN_BUNDLE: (
        "In the photo of the bundle it is less than 200 pixels across, so fine parts of the print "
        "may be lost; go closer, or photograph fewer at once."
    ),
    PhotoFault.TOO_BRIGHT: (
        "{share} of the photo is too bright to tell its colour; take it again out of direct sun, "
        "or with less exposure."
    ),
    PhotoFault.TOO_DARK: (
        "{share} of the photo is too dark to tell its colour; take it again in more light, by a "
        "window."
    ),
    PhotoFault.BLURRED: (
        "The photo looks blurred; hold the camera still, let it focus on the cloth and take it "
        "again. A print without sharp edges looks like this too: then all is well."
    ),
    PhotoFault.UNEVEN_LIGHT: (
        "The light falls by {share} across the photo; it was evened out, but turn the cloth to "
        "face the window for a surer colour."
    ),
    PhotoFault.SHADOW: (
        "A shadow seems to lie across the cloth; if it is none of the print, take the photo again "
        "with nothing between the window and the cloth."
    ),
    PhotoFault.PRINT_CUT_OFF: (
        "The print seems to be larger than the photo, so some of its colours may be missing; take "
        "the photo from further away."
    ),
    PhotoFault.FOREIGN_OBJECT: (
        "{share} of the photo, at its {side} edge, is unlike the rest of the cloth: a hand, the "
        "table, a label? It was left out; if it belongs to the print, have the whole photo read."
    ),
    PhotoFault.GLARE: (
        "A spot of glare ({share} of the photo) was left out; turn the cloth away from the lamp "
        "or window that it mirrors."
    ),
    PhotoFault.COLOURED_LIGHT: (
        "The light is strongly coloured, as lamps are; colours were corrected by the white paper, "
        "but take the photo again by a window for surer ones."
    ),
    PhotoFault.PAPER_BRIGHT: (
        "The white paper is over-exposed, so its tint cannot be told; tap it on the phone before "
        "taking the photo, or choose less exposure."
    ),
    PhotoFault.PAPER_DARK: (
        "The white paper is dark; take the photo in more light, or mark white paper by hand."
    ),
    PhotoFault.MIXED_LIGHT: (
        "White paper in the photo shows light of two colours, as of a window and a lamp; switch "
        "the lamp off and take the photo again, or its colours are off on one side."
    ),
    PhotoFault.COLOURS_UNKNOWN: (
        "The file says that its colours are of a special kind, but not of one known here, so they "
        "were taken for those of an ordinary screen (sRGB). For surer colours save the photo again "
        "as JPEG in sRGB."
    ),
    PhotoFault.INKS_ASSUMED: (
        "The file holds amounts of printing ink (CMYK) and does not say of which inks, so they "
        "were taken to be pure cyan, magenta, yellow and black; colours may be well off. Save it "
        "as JPEG in sRGB, or together with its colour profile."
    ),
    PhotoFault.HDR_WHITE: (
        "The photo is of high dynamic range (HDR): its white was taken to be 203 cd/m2, as is "
        "usual, and what is brighter counts as white. For surer colours switch HDR off."
    ),
    PhotoFault.NO_PICTURE: (
        "The plan came without this photo, so it is shown as plain cloth in its colour; "
        "photograph it again to see the cloth."
    ),
    PhotoFault.EARLIER: "{told}",
}

_CUT_OFF = {
    NotCloth.MARGIN: "the margin",
    NotCloth.GROUND: "the table",
    NotCloth.PAPER: "white paper",
}

_BUNDLE = {
    BundleFault.NOTHING: (
        "No fabric stands out from the table. Lay them on a plain table of another colour with "
        "gaps between them, or tap each fabric in the photo."
    ),
    BundleFault.NO_TABLE: (
        "No table was seen round the bundle, so the whole photo was divided. Move its corners, or "
        "photograph it with a hand's breadth of table all round."
    ),
    BundleFault.NO_CARD: (
        "The white card was not told from other white things. Show where it lies, so that colours "
        "are corrected by it, or lay it on a table of another colour."
    ),
    BundleFault.CARD: (
        "White paper lies there; it was left out and will correct the colours. If it is a fabric, "
        "say that there is no paper and add it by a tap."
    ),
    BundleFault.SHORT_ROW: (
        "Row {row} holds {holds} and others {others}. If one lies there that looks like the "
        "table, tap it."
    ),
    BundleFault.CUT_OFF: (
        "{pieces} at the edge of the photo and may be cut off. Leave a hand's breadth of table "
        "all round the bundle."
    ),
    BundleFault.SMALL: (
        "{pieces} small in the photo, so a print can't be told well. Go closer, or photograph the "
        "bundle in two parts."
    ),
    BundleFault.COLOURS_ASSUMED: (
        "The file does not say for sure what its colours are, so an assumption was made and they "
        "may be off. Save the photo again as JPEG in sRGB, without HDR."
    ),
    BundleFault.TWO_IN_ONE: (
        "{pieces} much larger than the others. If two fabrics touch there, split it."
    ),
    BundleFault.FRAGMENT: (
        "{pieces} much smaller than the others. If it is a part of a fabric, as where a shadow or "
        "glare crosses one, join it to the rest; if it is no fabric, remove it."
    ),
}


def photo_warning(warning: PhotoWarning) -> str:
    """Say what may be wrong with a photo and what to do."""
    return _PHOTO[warning.fault].format(
        share=percent(warning.share or 0.0),
        size=" x ".join(map(str, warning.size or ())),
        side=warning.side or "",
        told=warning.told,
    )


def photo_left_out(found: CutAway) -> str:
    """Say what of a photo was left out, and where it lies there."""
    part = f", {percent(found.share)} of the photo" if found.share >= _TOLD else ""
    return f"Cut off: {_CUT_OFF[found.what]}{_place(found)}{part}."


def _place(found: CutAway) -> str:
    if len(found.sides) == len(Side):
        return " all round"
    if found.sides:
        edge = agree(len(found.sides), "edge", "edges")
        return f" at its {listed([side.value for side in found.sides])} {edge}"
    if not found.box:
        return ""
    left, top, right, bottom = found.box
    across, down = _third((left + right) / 2), _third((top + bottom) / 2)
    words = [("upper", "", "lower")[down], ("left", "", "right")[across]]
    return f" at the {' '.join(filter(None, words)) or 'middle'}"


def _third(part: float) -> int:
    return min(int(3 * part), 2)


def bundle_warning(found: Found, warning: BundleWarning) -> str:
    """Say what may be wrong with what was found in the photo of a bundle, and what to do."""
    return _BUNDLE[warning.fault].format(
        row=warning.row,
        holds=number(warning.holds, "fabric"),
        others=warning.others,
        pieces=_pieces([found.pieces[at].name for at in warning.pieces]),
    )


def _pieces(names: list[str]) -> str:
    if len(names) > _MOST:
        names = [*names[:2], f"{len(names) - 2} more"]
    return f"{listed(names)} {agree(len(names), 'is', 'are')}"
