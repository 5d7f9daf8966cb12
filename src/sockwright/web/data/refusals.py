"""How the data say no: one form for every refusal, as the OpenAPI document has it."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, Field


class FaultData(BaseModel):
    """One part of an address that cannot be read."""

    path: str = Field(description="Its name.")
    wrong: str


class RefusalData(BaseModel):
    """Why there is no answer."""

    error: str = Field(description="What kind of refusal it is, in a few words.")
    detail: str
    problems: list[FaultData]


REFUSALS: dict[int | str, dict[str, Any]] = {
    404: {"model": RefusalData, "description": "There is nothing here."},
    409: {"model": RefusalData, "description": "What is asked for is damaged."},
    422: {"model": RefusalData, "description": "A part of the address cannot be read."},
}
"""What any address of the data may answer instead."""

WRITES: dict[int | str, dict[str, Any]] = {
    400: {"model": RefusalData, "description": "What was sent cannot be read at all."},
    403: {"model": RefusalData, "description": "No page of this workshop asked for it."},
}
"""What an address that writes may answer, too."""
