"""What the routes share: how they get at the workspace, and how they are described."""

from __future__ import annotations

import re
from typing import Annotated, Any

from fastapi import Depends, Header, Path
from starlette.exceptions import HTTPException
from starlette.requests import Request

from api.pattern.plan import Plan
from api.pattern.swatch import Swatch
from api.web.workspace import EVENTS, Workspace


def workspace_of(request: Request) -> Workspace:
    """Return the workspace of the app that handles a request."""
    workspace: Workspace = request.app.state.workspace
    return workspace


def revision_of(
    if_match: Annotated[
        str | None,
        Header(description="The revision the change is meant for.", examples=['"3"']),
    ] = None,
) -> int | None:
    """Read the If-Match header (RFC 9110, 13.1.1); None if any revision will do."""
    if if_match is None or if_match.strip() == "*":
        return None
    match = re.fullmatch(r'\s*"?([0-9]{1,9})"?\s*', if_match)
    if match is None:
        raise HTTPException(
            412, f'If-Match {if_match[:40]!r} is no revision of a plan; send it as "3"'
        )
    return int(match[1])


WorkspaceHere = Annotated[Workspace, Depends(workspace_of)]
Expected = Annotated[int | None, Depends(revision_of)]
PlanId = Annotated[str, Path(description="A plan's id.", examples=["9f86d081884c7d65"])]
Token = Annotated[str, Path(description="The word of a link.", examples=["kV3mX0Qz7Tn1cYbL9sWq2A"])]
FabricId = Annotated[
    str, Path(description="A fabric's, background's or thread's id.", examples=["linen"])
]

VIEW: dict[int | str, dict[str, Any]] = {
    200: {
        "description": "What changed; the plan as it stands now if it was begun, asked for, or "
        "preferred by 'Prefer: return=representation' (RFC 7240).",
        "headers": {
            "ETag": {"description": "The revision, for If-Match.", "schema": {"type": "string"}}
        },
    }
}
"""How a route describes that it answers with a plan."""

MADE: dict[int | str, dict[str, Any]] = {
    201: {**VIEW[200], "description": "The plan with what was added."}
}
"""The same for a route that adds something."""

FOLLOWED: dict[int | str, dict[str, Any]] = {
    200: {
        **VIEW[200],
        "content": {
            EVENTS: {
                "schema": {
                    "type": "string",
                    "description": "Events 'progress' with {share, words}, then one 'plan' with "
                    "the plan, or one 'problem' with a problem. Hanging up stops the work.",
                },
                "example": 'event: progress\ndata: {"share": 0.4, "words": "spreading"}\n\n',
            }
        },
    }
}
"""The same for work that can be followed by server-sent events."""


def need_fabric(plan: Plan, fabric: str) -> Swatch:
    """Return a plan's fabric; answer 404 if there is none."""
    try:
        return plan.swatch(fabric)
    except KeyError:
        raise HTTPException(
            404, f"there is no fabric {fabric!r} in this plan; it may have been removed"
        ) from None


def need_layout(plan: Plan) -> Plan:
    """Return a plan that has a layout; answer 409 if it has none."""
    if plan.layout is None:
        raise HTTPException(409, "this plan has no layout yet; arrange its blocks first")
    return plan


__all__ = [
    "FOLLOWED",
    "MADE",
    "VIEW",
    "Expected",
    "FabricId",
    "PlanId",
    "Token",
    "WorkspaceHere",
    "need_fabric",
    "need_layout",
]
