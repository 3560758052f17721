"""A survey's state with what journals amend of it, each amendment at its time.

    records of its logs in order ─┬─► State
    amendments in order of booking ┘   each before the first record that was booked after it

A survey that is taken up again goes on from what was amended meanwhile. Told from its files a year later it has to come
to the very same; so an amendment does not wait for the end, where what was booked next would already be there.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Collection, Sequence

from fieldtui.job.amend import Settled
from fieldtui.job.declared import Amendment
from fieldtui.log import Record
from fieldtui.survey import State, apply, read_time

Part = tuple[str, Sequence[Record]]
"""One log of a survey: its id, and its records in order."""


def own_amendments(logs: Collection[str], amended: Settled) -> tuple[Amendment, ...]:
    """Those that count of a survey's logs, in order of booking."""
    return tuple(one for one in amended.counting if one.place[0] in logs)


def amended_state(parts: Sequence[Part], amendments: Sequence[Amendment]) -> State:
    """The state that records and amendments stand for."""
    state, waiting, before = State(), deque(amendments), set[str]()
    for log, records in parts:
        for record in records:
            while waiting and _was_written_before(waiting[0], log, record, before):
                state = with_amendment(state, waiting.popleft())
            state = apply(state, record, log)
        before.add(log)
    for one in waiting:
        state = with_amendment(state, one)
    return state


def with_amendment(state: State, one: Amendment) -> State:
    """The state after one amendment."""
    return apply(state, one.record, one.written.log)


def _was_written_before(one: Amendment, log: str, record: Record, before: Collection[str]) -> bool:
    """By its time; but a clock that was wrong puts no amendment before the entry that it amends."""
    own_log, seq = one.place
    stands = own_log in before or (own_log == log and seq < record.seq)
    return stands and one.written.at < read_time(record.at)
