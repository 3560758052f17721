"""Care of the instrument as dated checks: what was done last, what is due, which certificates have run out.

route's [[care]] + care booked in journals and surveys ── care_of ──► Tended, one for each line of the route
route's certificates ── certificates_of ──► Certificate
both ── due_words ──► sentences for the start of a survey
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from typing import Literal
from zoneinfo import ZoneInfo

from msgspec import Struct

from fieldtui.job.declared import Care
from fieldtui.job.proof import past
from fieldtui.job.survey import PRACTICE, Survey
from fieldtui.route import Route
from fieldtui.survey.tended import care_given

SOON = timedelta(days=30)
"""A certificate that runs out within these is said (*common practice*: time to send the instrument away)."""


class Given(Struct, frozen=True):
    """Care that was given: what, when (UTC), by whom, and the route whose logs say so where it is another one's."""

    what: str
    at: datetime
    by: str
    route: str = ""


class Tended(Struct, frozen=True):
    """One line of the route's list. `last` is None where it was never booked: then it is due now."""

    what: str
    every_days: int
    last: Given | None
    due: date | None
    overdue: bool


class Certificate(Struct, frozen=True):
    """Of a tape or an extensometer, by its last day; None where the route states none."""

    what: Literal["tape", "extensometer"]
    serial: str
    until: date | None
    state: Literal["not stated", "good", "runs out soon", "has run out"]


def care_booked(surveys: Iterable[Survey], journals: Iterable[Care], route: str = "") -> Iterator[Given]:
    """All care that surveys and journals book, practice left out."""
    for one in journals:
        yield Given(one.what, one.at, one.written.by, route)
    for survey in surveys:
        if survey.scope != PRACTICE:
            for what, entry in care_given(survey.state):
                yield Given(what, entry.read_at, survey.state.answer("reader") or "", route)


def care_of(route: Route, given: Iterable[Given], now: datetime) -> tuple[Tended, ...]:
    """Every line of the route's list, in its order. Days are those of the route's zone."""
    zone = ZoneInfo(route.time_zone)
    newest: dict[str, Given] = {}
    for one in sorted(given, key=lambda one: one.at):
        if one.at <= now:
            newest[one.what] = one
    told = []
    for care in route.care:
        last = newest.get(care.what)
        due = last.at.astimezone(zone).date() + timedelta(days=care.every_days) if last is not None else None
        overdue = due is None or due <= now.astimezone(zone).date()
        told.append(Tended(care.what, care.every_days, last, due, overdue))
    return tuple(told)


def certificates_of(route: Route, now: datetime) -> tuple[Certificate, ...]:
    """Every tape and extensometer of a route as it stands now, corrections of journals in it."""
    today = now.astimezone(ZoneInfo(route.time_zone)).date()
    things: list[tuple[Literal["tape", "extensometer"], str, date | None]] = [
        *(("tape", tape.serial, tape.certificate_until) for tape in route.tapes),
        *(("extensometer", one.serial, one.certificate_until) for one in route.extensometers),
    ]
    return tuple(Certificate(what, serial, until, _standing(until, today)) for what, serial, until in things)


def _standing(until: date | None, today: date) -> Literal["not stated", "good", "runs out soon", "has run out"]:
    if until is None:
        return "not stated"
    if past(until, today):
        return "has run out"
    return "runs out soon" if until - today <= SOON else "good"


def due_words(care: Iterable[Tended], certificates: Iterable[Certificate]) -> Iterator[str]:
    """What has to be said before a survey: care that is due, certificates that have run out or soon will."""
    for one in certificates:
        if one.state in ("has run out", "runs out soon"):
            says = "ran out on" if one.state == "has run out" else "runs out on"
            yield f"certificate of {one.what} {one.serial} {says} {one.until}"
    for tended in care:
        if tended.overdue:
            since = f"due since {tended.due}" if tended.due is not None else "never booked"
            yield f"{tended.what}: {since}"
