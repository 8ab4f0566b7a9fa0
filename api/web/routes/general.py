"""That the server is there, and the blocks it knows."""

from __future__ import annotations

from fastapi import APIRouter

from api.files import program_version
from api.web.problems import declared
from api.web.wire.responses import BlockOut, Health
from placement.block import block_names, load_block

router = APIRouter(tags=["general"], responses=declared())


@router.get("/api/health", summary="Is the server there?")
def health() -> Health:
    """Answer at once, without touching the database."""
    return Health(version=program_version())


@router.get("/api/blocks", summary="List the blocks")
def blocks() -> list[BlockOut]:
    """List the blocks a plan can be made of, each with its parts in a square of side 1."""
    return [BlockOut.of(name, load_block(name)) for name in block_names()]
