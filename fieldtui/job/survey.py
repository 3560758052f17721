"""One survey of the job: its logs in order, the route they hold, and the state they tell.

A survey may be spread over several logs (a laptop that failed, a disk that was full); they share the survey's id and
each later one names the one it continues.
"""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import datetime
from functools import cached_property, lru_cache, reduce
from types import MappingProxyType
from typing import Any

from msgspec import Struct

from fieldtui.job.amend import Settled
from fieldtui.job.amended import amended_state, own_amendments, with_amendment
from fieldtui.job.declared import Amendment
from fieldtui.job.kept import Kept, KeptBookings, digest
from fieldtui.log import LogFile
from fieldtui.route import ChordKey, Route, RouteRefused, parse_route
from fieldtui.survey import Booking, Place, State, Target, read_time

PRACTICE = "practice"
SURVEY = "survey"


class Survey(Struct, frozen=True, dict=True):
    """One walk as logs and journals tell it. `route` is the one written into its first log, as it was written."""

    id: str
    label: str
    scope: str
    logs: tuple[LogFile, ...]
    route: Route
    state: State
    started: datetime
    """When it was begun: the first time of reading, where there is one, so that a sheet booked late is in its place."""
    disputed: frozenset[Place] = frozenset()
    """Entries that two journals amend differently."""

    @property
    def open(self) -> bool:
        """Not closed: it can be resumed, unless it is `locked`."""
        return not self.state.closed

    @property
    def locked(self) -> bool:
        """Whether a program is writing to one of its logs."""
        return any(log.locked for log in self.logs)

    @property
    def booked_under(self) -> Collection[ChordKey]:
        """Every station and chord that anything is booked under; of a kept survey, in any survey kept with it."""
        bookings = self.state.bookings
        return bookings.booked_under if isinstance(bookings, KeptBookings) else self._by_key

    def bookings_of(self, key: ChordKey) -> Mapping[Target, Booking]:
        """The bookings under a station and chord as they were booked, without a look at the others."""
        bookings = self.state.bookings
        return bookings.of(key) if isinstance(bookings, KeptBookings) else self._by_key.get(key, {})

    @cached_property
    def _by_key(self) -> Mapping[ChordKey, Mapping[Target, Booking]]:
        found: dict[ChordKey, dict[Target, Booking]] = {}
        for target, booking in self.state.bookings.items():
            found.setdefault(target.key, {})[target] = booking
        return found


def route_record(route: Route) -> dict[str, Any]:
    """Record 1 of a log: the route's text and every file it names, each with its SHA-256."""
    name = route.path.name if route.path is not None else "route.toml"
    return {
        "name": name,
        "text": route.text,
        "sha256": _sha256(route.text),
        "files": {file: {"text": text, "sha256": _sha256(text)} for file, text in route.files.items()},
    }


def route_of(data: Mapping[str, Any]) -> Route:
    """The route that a log's record 1 holds. `RouteRefused` if it is not one."""
    files = tuple((file, content["text"]) for file, content in data["files"].items())
    return _parsed(data["text"], files, data["name"])


class LeftOut(Struct, frozen=True):
    """A survey whose route is refused by the rules of now."""

    logs: tuple[LogFile, ...]
    refused: RouteRefused

    def __str__(self) -> str:
        first, log = self.refused.problems[0], self.logs[0]
        where = f"{log.path.name}: survey {log.label} is left out"
        todo = f"Read it with the version that wrote it, {log.head.get('program', 'not known')}."
        return f"{where}: the route in it is refused: {first} {todo}"


def surveys(logs: Iterable[LogFile], amended: Settled | None = None, kept: Kept | None = None) -> tuple[Survey, ...]:
    """The surveys that these logs hold, as they were amended since, in order of their start.

    Journals and logs without a route are left out, and surveys whose route is refused now: see `left_out`. What the
    index of the folder has `kept` is not read from the logs again.
    """
    return surveys_and_left_out(logs, amended, kept)[0]


def left_out(logs: Iterable[LogFile]) -> tuple[LeftOut, ...]:
    """Surveys whose route is refused by the rules of now."""
    return surveys_and_left_out(logs)[1]


def surveys_and_left_out(
    logs: Iterable[LogFile],
    amended: Settled | None = None,
    kept: Kept | None = None,
    routes: dict[str, Route | RouteRefused] | None = None,
) -> tuple[tuple[Survey, ...], tuple[LeftOut, ...]]:
    """Both, each log looked at once. `routes` that are known by the digest of their record are not checked again, and
    those that had to be are put there.
    """
    found, left = [], []
    routes = {} if routes is None else routes
    for parts in _together(logs, kept):
        own = kept if kept is not None and len(parts) == 1 and parts[0].id in kept else None
        record = digest(parts[0].records[1].data) if own is None else own.route(parts[0].id)
        route = _route_once(parts, record, routes)
        if isinstance(route, Route):
            found.append(_survey(parts, route, amended or Settled(), own))
        else:
            left.append(LeftOut(tuple(parts), route))
    return tuple(sorted(found, key=lambda survey: (survey.started, survey.id))), tuple(left)


def _route_once(parts: Sequence[LogFile], record: str, known: dict[str, Route | RouteRefused]) -> Route | RouteRefused:
    """A year of surveys holds the same route a thousand times: one log of each is read for it."""
    if record not in known:
        known[record] = _route(parts)
    return known[record]


def _together(logs: Iterable[LogFile], kept: Kept | None = None) -> list[list[LogFile]]:
    """The logs of each survey, in order."""
    together: dict[str, list[LogFile]] = {}
    for log in logs:
        begun = kept is not None and log.id in kept
        if begun or (log.head.get("scope") in (SURVEY, PRACTICE) and _begins_with_a_route(log)):
            together.setdefault(log.survey, []).append(log)
    return [_in_order(parts) for parts in together.values()]


def _route(parts: Sequence[LogFile]) -> Route | RouteRefused:
    try:
        return route_of(parts[0].records[1].data)
    except RouteRefused as refused:
        return refused


def _begins_with_a_route(log: LogFile) -> bool:
    return len(log.records) > 1 and log.records[1].kind == "route"


def _survey(parts: Sequence[LogFile], route: Route, amended: Settled, kept: Kept | None) -> Survey:
    logs = {log.id for log in parts}
    first, amendments = parts[0], own_amendments(logs, amended)
    started: datetime | None
    if kept is None or _written_meanwhile(amendments, first):
        state = amended_state([(log.id, log.records) for log in parts], amendments)
        started = min(_times_of_reading(state), default=None)
    elif amendments:
        state = reduce(with_amendment, amendments, kept.state(first.id))
        started = min(_times_of_reading(state), default=None)
    else:
        state, started = kept.state(first.id), kept.started(first.id)
    return Survey(
        id=first.survey,
        label=first.head["label"],
        scope=first.head["scope"],
        logs=tuple(parts),
        route=route,
        state=state,
        started=started if started is not None else read_time(first.created),
        disputed=frozenset(place for place in amended.disputed if place[0] in logs),
    )


def _written_meanwhile(amendments: Iterable[Amendment], log: LogFile) -> bool:
    """Whether anything was booked after an amendment: then what is kept without it is no state to go on from."""
    return any(log.last is None or one.written.at < read_time(log.last.at) for one in amendments)


def _times_of_reading(state: State) -> Iterator[datetime]:
    for booking in state.bookings.values():
        if booking.read_at is not None:
            yield booking.read_at


def _in_order(parts: list[LogFile]) -> list[LogFile]:
    """Each log after the one it continues; what a clock said when a log was begun decides nothing but ties."""
    if len(parts) == 1:
        return parts
    left = sorted(parts, key=lambda log: (log.created, log.id))
    ordered: list[LogFile] = []
    while left:
        waiting = {log.id for log in left}
        ready = [log for log in left if log.continues is None or log.continues["log"] not in waiting]
        # a ring of logs that continue each other cannot be written by the program; take them as they come
        ordered.append(ready[0] if ready else left[0])
        left.remove(ordered[-1])
    return ordered


@lru_cache(maxsize=64)
def _parsed(text: str, files: tuple[tuple[str, str], ...], name: str) -> Route:
    # a year of surveys carries the same route a hundred times: parse each text once
    return parse_route(text, MappingProxyType(dict(files)), name=name)


def _sha256(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()
