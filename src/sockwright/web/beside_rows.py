"""Two cylinders side by side, in words: how each fits, and what its dry run found."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sockwright.web.plan_view import Column, Row
from sockwright.words.said import capitalised, joined, said


def beside_rows(shown: Sequence[Column], notes: Sequence[Mapping[str, Any]]) -> list[Row]:
    """A line for the fit and one for the dry run; `notes` are the words of each sock's plan."""
    return [
        Row(said("How it fits"), ("fit.score",), tuple(_fit(column) for column in shown)),
        Row(said("In the dry run"), (), tuple(_run(words) for words in notes)),
    ]


def _fit(column: Column) -> str:
    fit = column.plan.fit
    reasons = joined("; ", fit.reasons)
    if fit.fits:
        return capitalised(reasons)
    return said("{verdict}: {reasons}", verdict=capitalised(fit.verdict), reasons=reasons)


def _run(words: Mapping[str, Any]) -> str:
    plan = words["plan"]
    proof = said("proven") if plan.dry_run.ok else said("not proven")
    found = [told for _, told in words["findings"]] or [said("nothing found")]
    return capitalised(
        said(
            "{proof}, {loops} loops, {steps} steps: {found}",
            proof=proof,
            loops=words["loops"],
            steps=words["count"],
            found=joined("; ", found),
        )
    )
