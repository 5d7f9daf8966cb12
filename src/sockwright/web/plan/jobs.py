"""The work behind the planning page, as jobs: of frozen values alone, and done anywhere alike.

A job is made where the workshop is read, and may be done in another process: its answer depends on
nothing but the job.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from typing import Any

from sockwright.web.context import Preferences, rendered
from sockwright.web.plan.planning import Asked, plan_asked
from sockwright.web.plan.result import drawings, program_of, result_context
from sockwright.web.workers import Tools
from sockwright.workshop.answers import Planned


@dataclass(frozen=True)
class PlanShown:
    """A plan as the page shows it: the sliders, and the result below them."""

    sliders: str
    result: str


@dataclass(frozen=True)
class _OfPlan:
    """What every job about a plan knows: what was asked for, and who reads the answer."""

    asked: Asked
    reader: Preferences

    @property
    def key(self) -> Hashable:
        """Jobs of one key are quick after one another."""
        return self.asked.key


@dataclass(frozen=True)
class ShowPlan(_OfPlan):
    """Shows a plan to a reader: numbers alone, or with `whole` its drawings and its program too.

    `alone` is for a page that stays: without sliders.
    """

    whole: bool = True
    alone: bool = False

    def done(self, tools: Tools) -> PlanShown:
        """The pieces of the page."""
        planning = plan_asked(tools.plans, self.asked)
        context = {**result_context(self.reader, planning), "whole": self.whole}
        result = context["result"]
        if self.whole and isinstance(planning.outcome, Planned):
            result.update(_drawings(tools, self.asked, self.reader))
            pair, language = planning.outcome.pair, self.reader.language
            result["programs"] = [
                (heading, count, program_of(pair, which, language))
                for which, (heading, count, _) in enumerate(result["programs"])
            ]

        def piece(template: str) -> str:
            return rendered(
                tools.templates,
                template,
                self.reader,
                alone=self.alone,
                **context,
            )

        sliders = "" if self.alone else piece("plan_sliders.html")
        return PlanShown(sliders, piece("plan_result.html"))


@dataclass(frozen=True)
class DrawPlan(_OfPlan):
    """Draws a plan for a reader, whose numbers she has already."""

    def done(self, tools: Tools) -> str:
        """The figures; "" where there is no plan."""
        result = _drawings(tools, self.asked, self.reader)
        return rendered(
            tools.templates, "plan_drawings.html", self.reader, result=result, whole=True
        )


@dataclass(frozen=True)
class TellProgram(_OfPlan):
    """Tells a reader the crank program of one sock of a plan, counted from 0."""

    which: int

    def done(self, tools: Tools) -> str:
        """The steps; "" where there is no such sock."""
        outcome = plan_asked(tools.plans, self.asked).outcome
        steps = (
            program_of(outcome.pair, self.which, self.reader.language)
            if isinstance(outcome, Planned)
            else ()
        )
        return rendered(tools.templates, "plan_program.html", self.reader, steps=steps)


def _drawings(tools: Tools, asked: Asked, reader: Preferences) -> dict[str, Any]:
    """The drawings of a plan, at hand where they were made lately."""
    key = (asked.key, asked.beside_key, reader.language, reader.units)
    return tools.drawn.of(key, lambda: drawings(plan_asked(tools.plans, asked), reader.tongue))
