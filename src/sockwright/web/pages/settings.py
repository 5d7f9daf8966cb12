"""What this browser prefers."""

from __future__ import annotations

from fastapi import APIRouter
from fastapi.responses import Response

from sockwright.web.context import CHOICE_WORDS, CHOICES, PREFERENCES_COOKIE, AVisit
from sockwright.web.received import AForm, one
from sockwright.words.said import said

router = APIRouter()


@router.get("/settings")
def show(visit: AVisit) -> Response:
    """The settings and what may be chosen."""
    return visit.page("settings.html", choices=CHOICE_WORDS)


@router.post("/settings")
def change(visit: AVisit, form: AForm) -> Response:
    """Keep the settings in this browser's cookie."""
    given = {key: one(form, key) for key in CHOICES}
    answer = visit.to("/settings", said("Your settings are kept in this browser."))
    visit.remember(answer, PREFERENCES_COOKIE, visit.preferences.with_choices(given).as_cookie())
    return answer
