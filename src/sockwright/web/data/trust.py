"""The certificate of a workshop that makes its own, as data."""

from __future__ import annotations

from fastapi import APIRouter
from pydantic import BaseModel, Field

from sockwright.web.context import AVisit

router = APIRouter(tags=["workshop"])


class TrustData(BaseModel):
    """What a device is told to trust; nulls where this workshop has not made a certificate."""

    encrypted: bool = Field(description="Whether this answer came over https.")
    fingerprint: str | None = Field(description="SHA-256 of the authority's certificate.")
    authority: str | None = Field(description="The authority's certificate (PEM).")


@router.get("/trust")
def trust(visit: AVisit) -> TrustData:
    """The authority of this workshop's certificate."""
    secured = visit.parts.reach.secured
    return TrustData(
        encrypted=visit.request.url.scheme == "https",
        fingerprint=None if secured is None else secured.fingerprint,
        authority=None if secured is None else secured.authority.decode(),
    )
