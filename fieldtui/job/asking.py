"""What a declaration asks for, question by question: pure, so that any screen can ask it.

    Form ── ask(job, answers) ──► the next Ask, or None ── data(job, answers) ──► the journal's record

What comes next depends on the answers so far: the anchors of the station that was chosen. Answers are texts as a
person gave them, checked by the question they answer.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from msgspec import Struct

from fieldtui.job.ahead import MARGIN
from fieldtui.job.job import Job
from fieldtui.job.walk_log import Clock, system_clock
from fieldtui.survey import EntryRefused, clean_text, read_time
from fieldtui.survey.times import reading_time, stamp

Answers = Mapping[str, str]
A_TIME = "2031-05-04, 2031-05-04 07:30, or 0730 or 7.30 alone"
WHEN = f"When ({A_TIME})"
Check = Callable[[str], str]
"""A text to the answer it gives. `EntryRefused` where it gives none."""


class Ask(Struct, frozen=True):
    """One question. With `options` (answer, words) one of them is chosen; else a text is typed and checked."""

    key: str
    text: str
    options: tuple[tuple[str, str], ...] = ()
    check: Check = clean_text
    default: str = ""
    optional: bool = False
    told: Callable[[str], str] = str
    """How an answer is read back; a time in the route's zone, as it was typed."""

    def taken(self, typed: str) -> str:
        """The answer that a text gives. `EntryRefused` where it gives none."""
        if not clean_text(typed):
            if self.optional:
                return ""
            start = f" To begin with: {self.default}." if self.default else ""
            raise EntryRefused("This cannot stay empty.", todo=f"Type it and press Enter.{start}")
        return self.check(typed)

    def shown(self, answer: str) -> str:
        """An answer in words."""
        words = dict(self.options).get(answer)
        return words or (self.told(answer) if answer else "-")


class Form(Struct, frozen=True):
    """One kind of declaration."""

    kind: str
    title: str
    asks: Callable[[Job, Answers], Iterator[Ask]]
    """Its questions in order; each may look at the answers to those before it."""
    data: Callable[[Job, Answers], dict[str, Any]]
    """The record, without `by`. `EntryRefused` where the answers together cannot be declared."""
    several: Callable[[Job, Answers], list[dict[str, Any]]] | None = None
    """The records, where the answers may make more than one."""
    doubts: Callable[[Job, Answers], Iterator[str]] | None = None
    """What of the answers together looks like a slip of the pen, in words; it can be meant all the same."""

    def records(self, job: Job, answers: Answers) -> list[dict[str, Any]]:
        """Every record that the answers make. `EntryRefused` as in `data`."""
        return self.several(job, answers) if self.several is not None else [self.data(job, answers)]

    def ask(self, job: Job, answers: Answers) -> Ask | None:
        """The first question that is not answered; None at the end."""
        return next((ask for ask in self.asks(job, answers) if ask.key not in answers), None)

    def told(self, job: Job, answers: Answers) -> list[str]:
        """What was answered, in words, a line each."""
        asked = []
        for ask in self.asks(job, answers):
            if ask.key not in answers:
                break
            asked.append(f"{ask.text}: {ask.shown(answers[ask.key])}")
        return asked


def named(names: Iterator[str] | tuple[str, ...] | list[str]) -> tuple[tuple[str, str], ...]:
    """Options that are their own words."""
    return tuple((name, name) for name in names)


def moment(job: Job, typed: str, clock: Clock = system_clock) -> str:
    """A date, a time of day or both, in the route's zone, as a record holds it. `EntryRefused` where it is none."""
    zone = ZoneInfo(job.route.time_zone)
    return stamp(reading_time(_spelled(clean_text(typed), clock().astimezone(zone)), zone))


def _spelled(text: str, now: datetime) -> str:
    """A day alone with its midnight, a time alone with its last day; a number pad has neither colon nor blank."""
    if re.fullmatch(r"\d{4}-\d\d-\d\d", text, re.ASCII):
        return f"{text} 00:00"
    found = re.fullmatch(r"(?:(\d{4}-\d\d-\d\d)[ Tt-]+)?(\d{1,2})[:.,]?(\d\d)", text, re.ASCII)
    if found is None:
        return text
    day, time = found[1], f"{found[2]:0>2}:{found[3]}"
    # a clock that is behind by minutes must not lead to yesterday
    latest = now + MARGIN
    last = latest if time <= f"{latest:%H:%M}" else latest - timedelta(days=1)
    return f"{day or last.date()} {time}"


def moment_told(job: Job, answer: str) -> str:
    """A time as a record holds it, in the route's zone."""
    return f"{read_time(answer).astimezone(ZoneInfo(job.route.time_zone)):%Y-%m-%d %H:%M}, {job.route.time_zone}"
