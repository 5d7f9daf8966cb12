"""Problems as data."""

from __future__ import annotations

from pydantic import BaseModel, Field

from sockwright.workshop.answers import Problems


class ProblemData(BaseModel):
    """One thing wrong with what was given."""

    path: str = Field(description="The key's place, such as foot.length.")
    wrong: str
    right: str


def problems_data(problems: Problems) -> list[ProblemData]:
    """Every problem, as data."""
    return [
        ProblemData(path=one.path, wrong=one.wrong, right=one.right) for one in problems.problems
    ]
