"""What goes from a sock at the machine to other devices and comes back: the bench as one file, and
its log."""

from __future__ import annotations

from collections.abc import Sequence

from fastapi import APIRouter
from fastapi.responses import Response
from starlette.datastructures import FormData

from sockwright.errors import Problem
from sockwright.web.bench.file import bench_file
from sockwright.web.bench.log_file import MOST_FILE_BYTES, WHERE, log_file, take_log
from sockwright.web.bench.view import bench_for, log_of, which_of
from sockwright.web.context import AVisit
from sockwright.web.pages.bench import bench_context
from sockwright.web.pages.socks import sock_page
from sockwright.web.pairs.view import BENCH, sent
from sockwright.web.pairs_kept import pair
from sockwright.web.printing import file_answer
from sockwright.web.received import AForm, one, uploaded
from sockwright.words.said import said
from sockwright.workshop.answers import Problems
from sockwright.workshop.bench import log_as_csv

router = APIRouter(prefix="/socks/{id}/bench")

MOST_TOLD = 20
"""Problems of one log that are told one by one."""


@router.get("/{which}.html")
def whole(visit: AVisit, id: str, which: str) -> Response:
    """The bench of one sock as a single file, to be carried to any device."""
    shown, which = pair(visit.shop, id), which_of(which)
    page = bench_file(visit, bench_context(visit, shown, bench_for(visit.shop, id, which)))
    return file_answer(page.encode(), shown.sock.name, f"{which}-bench.html")


@router.get("/{which}/log.json")
def log(visit: AVisit, id: str, which: str) -> Response:
    """The log of one sock, as a bench saves it."""
    shown, which = pair(visit.shop, id), which_of(which)
    content = log_file(log_of(visit.shop, id, which), id, which)
    return file_answer(content, shown.sock.name, f"{which}-log.json")


@router.get("/{which}/log.csv")
def table(visit: AVisit, id: str, which: str) -> Response:
    """The log of one sock as a table."""
    shown, which = pair(visit.shop, id), which_of(which)
    content = log_as_csv(log_of(visit.shop, id, which)).encode()
    return file_answer(content, shown.sock.name, f"{which}-log.csv")


@router.post("/{which}/log.json")
def take(visit: AVisit, form: AForm, id: str, which: str) -> Response:
    """Bring back a log that was saved elsewhere: its entries join those that are here, and those
    that cannot are named."""
    pair(visit.shop, id)
    which = which_of(which)
    text = _text(form)
    answer = (
        Problems((text,)) if isinstance(text, Problem) else take_log(visit.shop, id, which, text)
    )
    if isinstance(answer, Problems):
        back = sent(BENCH[which], form, problems=_at_field(answer.problems))
        return sock_page(visit, id, back, 422)
    if answer.refused:
        wrong = [problem for one in answer.refused for problem in one.problems]
        told = answer.told if answer.any else ""
        back = sent(BENCH[which], form, problems=_at_field(wrong), taken=told)
        return sock_page(visit, id, back, 200 if answer.any else 422)
    return visit.to(f"/socks/{id}#machine", answer.told)


def _text(form: FormData) -> str | Problem:
    """The text of a log from the chosen file, else what was pasted."""
    what, right = WHERE, said("give the file that the bench saved")
    data = uploaded(form, MOST_FILE_BYTES)
    if data is None:
        pasted = one(form, "text")
        if len(pasted) > MOST_FILE_BYTES:
            return Problem(what, said("is far too large for a log"), right)
        return pasted or Problem(what, said("is missing"), said("choose a file, or paste its text"))
    if len(data) > MOST_FILE_BYTES:
        return Problem(what, said("is far too large for a log"), right)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return Problem(what, said("is not text in UTF-8"), right)


def _at_field(problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """Problems anywhere in a log are told at the field it was given in."""
    told = [Problem("text", _wrong(one), one.right) for one in problems[:MOST_TOLD]]
    if len(problems) > MOST_TOLD:
        more = said("and {n} more are wrong", n=len(problems) - MOST_TOLD)
        told.append(Problem("text", more, said("give the log as the bench saved it")))
    return tuple(told)


def _wrong(problem: Problem) -> str:
    """What is wrong, and where within the log; the field itself says that it is the log."""
    if problem.path == WHERE:
        return problem.wrong
    return said("{path}: {wrong}", path=problem.path, wrong=problem.wrong)
