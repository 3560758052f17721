"""A small part of the monkey with fixed seeds; and that it does find what is broken on purpose."""

from __future__ import annotations

import pytest

from fieldtui.job import Walk
from fieldtui.plain.talk import Talk
from fieldtui.tui.desk import WalkDesk
from tests.monkey.event import Event
from tests.monkey.plain import PlainTold, live_by_lines
from tests.monkey.run import Failed, Told, cut_down, live, replay

START = [Event("key", key) for key in (b"1", b"\r", b"A", b"B", b"\r", b"\r", b"1", b"\r")]


@pytest.mark.parametrize(("job", "seed", "events"), [("small", "a", 220), ("two tapes", "b", 180), ("laid", "c", 120)])
def test_a_short_life_of_keys_sizes_and_signals(job: str, seed: str, events: int) -> None:
    told = Told()
    live(job, seed, events, told)
    assert told.looked == sum(told.events.values()) == events


def test_an_entry_that_is_shown_and_not_on_the_disk_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    say = Walk.say

    def forgetful(walk: Walk, what: str, typed: str) -> None:
        say(walk, what, typed)
        path = walk.writer.path
        path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[:-1]))

    monkeypatch.setattr(Walk, "say", forgetful)
    failed = replay("two tapes", [Event("key", b"\r"), *START])
    assert failed is not None
    assert "not the fold of the disk's records" in str(failed)


def test_what_was_half_typed_and_is_gone_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(WalkDesk, "keep", lambda desk: None)
    failed = replay("two tapes", [Event("key", b"\r"), *START, Event("key", b"7"), *HELP])
    assert failed is not None
    assert "half typed was" in str(failed)


HELP = [Event("key", b"\x1bOP"), Event("key", b"\x1b")]


def test_a_failure_is_cut_down_to_what_brings_it_about(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a life of keys one alone is to blame."""
    act = WalkDesk.act

    def broken(desk: WalkDesk, action: str) -> None:
        if action == "help":
            raise KeyError(action)
        act(desk, action)

    monkeypatch.setattr(WalkDesk, "act", broken)
    sizes = [Event("resize", size=(60 + number, 20)) for number in range(4)]
    failed = replay(
        "two tapes", [Event("key", b"1"), *sizes, Event("key", b"\r"), Event("key", b"\r"), Event("key", b"\x1bOP")]
    )
    assert isinstance(failed, Failed)
    assert len(failed.events) == 8
    assert [event.data for event in cut_down("two tapes", failed)] == [b"\r", b"\r", b"\x1bOP"]


def test_a_short_life_of_lines() -> None:
    told = PlainTold()
    live_by_lines("two tapes", "d", 250, told)
    assert sum(told.lines.values()) >= 250
    assert told.entries > 50


def test_a_line_that_is_said_to_be_saved_and_is_not_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Talk, "answer", lambda talk, step, line: talk.saved())
    monkeypatch.setattr("fieldtui.plain.talk.saved_text", lambda walk: "saved 02:00:00")
    with pytest.raises(AssertionError, match="said to be saved, and nothing is on the disk"):
        live_by_lines("two tapes", "d", 20, PlainTold())
