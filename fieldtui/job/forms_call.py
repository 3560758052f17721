"""The form that says who was told of a level that was reached."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import Any
from zoneinfo import ZoneInfo

from fieldtui.job.asking import WHEN, Answers, Ask, Form, moment, moment_told, named
from fieldtui.job.calls import Call, telling_data
from fieldtui.job.job import Job
from fieldtui.survey import EntryRefused, read_time


def _waiting(job: Job) -> list[tuple[Call, str]]:
    """Whom nobody has told yet, call by call."""
    return [(call, role) for call in job.open_calls() for role in call.untold]


def _chosen(job: Job, answers: Answers) -> tuple[Call, str] | None:
    place, waiting = answers.get("call", ""), _waiting(job)
    return waiting[int(place)] if place and int(place) < len(waiting) else None


def _asks(job: Job, answers: Answers) -> Iterator[Ask]:
    words = (
        f"{call.station} {call.chord}, {call.level} ({call.what}), survey {call.label}: {role}"
        for call, role in _waiting(job)
    )
    options = tuple((str(number), text) for number, text in enumerate(words))
    yield Ask("call", "Of which level, as whom", options or (("", "no call is open"),), check=_one_of_them)
    yield Ask("person", "Who was told")
    yield Ask("means", "By what means", named(["by radio", "by telephone", "in person", "in writing"]))
    yield Ask("answer", "What they answered (empty: nothing)", optional=True)
    yield Ask("told_at", WHEN, check=partial(moment, job), told=partial(moment_told, job))


def _one_of_them(answer: str) -> str:
    if not answer:
        raise EntryRefused("No such call is open: nobody has to be told.")
    return answer


def _data(job: Job, answers: Answers) -> dict[str, Any]:
    chosen = _chosen(job, answers)
    if chosen is None:
        raise EntryRefused("This call is not open any more: somebody was told meanwhile.")
    call, role = chosen
    return telling_data(call, role, answers["person"], answers["means"], answers["answer"], answers["told_at"])


def _doubts(job: Job, answers: Answers) -> Iterator[str]:
    """Told on a day before the level was reached: a month or a year is soon mistyped."""
    chosen, zone = _chosen(job, answers), ZoneInfo(job.route.time_zone)
    if chosen is None:
        return
    told, reached = (at.astimezone(zone).date() for at in (read_time(answers["told_at"]), chosen[0].time))
    if told < reached:
        yield f"That is before the level was reached, on {reached}"


CALL = Form("call", "who was told of a level", _asks, _data, doubts=_doubts)
