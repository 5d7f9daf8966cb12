"""Templates said to a reader: in her language, with her units."""

from __future__ import annotations

from typing import Any

from jinja2 import Environment

from sockwright.web.preferences import Preferences


def rendered(templates: Environment, template: str, reader: Preferences, **context: Any) -> str:
    """What a template says to a reader."""
    tongue = reader.tongue
    return templates.get_template(template).render(
        preferences=reader,
        formats=reader.formats,
        _=tongue.say,
        ngettext=tongue.say_of,
        tell=tongue.tell,
        **context,
    )
