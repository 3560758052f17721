"""How long the chords took, told at the end of a survey."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from fieldtui.plain.ending import told_at_the_end
from fieldtui.survey import Target
from fieldtui.survey.chord_time import ChordTimes, chord_times, pace_words
from fieldtui.survey.clock import shifted
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.lines import text_of
from harness.jobs import CALM, Ticking, answer_start, begin, book_chord, lay
from harness.pages import Pages

LR, LK = Target("A", "L-R"), Target("A", "L-K")


def test_from_the_hole_to_accepted_and_from_one_to_the_next() -> None:
    """A minute an entry: the hole's to the accepting one is five, and arriving makes the next chord seven."""
    pages = Pages().start()
    pages.chord(LR)
    pages.chord(LK)
    assert chord_times(pages.state) == ChordTimes((300.0, 300.0), (420.0,))


def test_what_was_not_read_takes_no_time_at_the_tape() -> None:
    pages = Pages().start()
    pages.chord(LR)
    pages.add("unread", **LK.data(), outcome="blocked", note="")
    assert len(chord_times(pages.state).at_the_tape) == 1


def test_a_break_is_not_the_work(tmp_path: Path) -> None:
    clock = Ticking()
    walk = begin(lay(tmp_path), clock)
    answer_start(walk)
    book_chord(walk, "320", "12.30", "12.32", "12.31")
    clock.now += timedelta(hours=2)
    book_chord(walk, "240", "12.30", "12.32", "12.31")
    times = chord_times(walk.state)
    assert len(times.at_the_tape) == 2
    assert times.apart == ()


def test_a_clock_set_right_changes_no_span() -> None:
    pages = Pages().start()
    pages.chord(LR)
    pages.chord(LK)
    assert chord_times(shifted(pages.state, timedelta(hours=5))) == chord_times(pages.state)


@pytest.mark.parametrize(
    ("times", "words"),
    [
        (ChordTimes((), ()), ""),
        (ChordTimes((41.0,), ()), "A chord took 41 s from hole to accepted (median)."),
        (
            ChordTimes((41.0, 30.0, 130.0), (60.0, 200.0)),
            "A chord took 41 s from hole to accepted (median of 3, 30 s to 2 min 10 s); "
            "2 min 10 s from one to the next.",
        ),
    ],
)
def test_in_words(times: ChordTimes, words: str) -> None:
    assert pace_words(times) == words


def test_it_stands_at_the_end_on_the_screen_and_by_lines(tmp_path: Path) -> None:
    walk = begin(lay(tmp_path))
    answer_start(walk)
    while walk.step.target is not None and walk.step.target.is_chord:
        book_chord(walk, CALM[walk.step.target.key], "12.30", "12.32", "12.31")
    told = pace_words(chord_times(walk.state))
    assert told
    assert told in "\n".join(told_at_the_end(walk))
    desk = WalkDesk(walk)
    assert "from hole to" in text_of(draw_walk(desk, 80, 24))
    walk.close()
    assert "from hole to" in text_of(draw_walk(desk, 80, 24))
