"""The walk line by line: a survey by piped lines, every bad line refused with a sentence, nothing lost on the way."""

from __future__ import annotations

import errno
import os
import re
import subprocess
import sys
from collections import Counter
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

import pytest

from fieldtui.job import Walk, accept, load_job, logs_folder
from fieldtui.log import OsCalls, code_fits
from fieldtui.plain import doing
from fieldtui.plain.start import start_plain
from fieldtui.plain.talk import run_plain
from fieldtui.route import load_route
from fieldtui.settings import AS_USUAL, Settings, parse_settings
from fieldtui.survey import HOLES, State, Step
from fieldtui.survey.actions import USUAL
from harness.jobs import CALM, Ticking, begin, book_chord, lay, resume, with_past

START = ("AB", "", "1", "1", "", "", "0.00")
"""Reader, no recorder, tape, extensometer, no stage, cautions seen, dial zero."""
NEXT_DAY = datetime(2031, 5, 5, 2, 0, tzinfo=UTC)
LR = ("1", "320", "12.34", "12.36", "12,31", "320", "9.5", "")
LK = ("240", "20.1", "20.12", "20.11", "240", "9.6", "")
B = ("", "320", "8.20", "8.21", "8.24", "320", "9.0", "")


class Page:
    """Lines to be typed, and everything that was written."""

    def __init__(self, *lines: str, ends: type[BaseException] = EOFError) -> None:
        self.lines = iter(lines)
        self.text = ""
        self.prompts: list[str] = []
        self.ends = ends

    def read(self, prompt: str) -> str:
        self.prompts.append(prompt)
        self.text += f"{prompt}\n"
        line = next(self.lines, None)
        if line is None:
            raise self.ends
        return line

    def write(self, text: str) -> None:
        self.text += f"{text}\n"


def talk(
    walk: Walk, *lines: str, ends: type[BaseException] = EOFError, settings: Settings = AS_USUAL
) -> tuple[int, Page]:
    page = Page(*lines, ends=ends)
    return run_plain(walk, page.read, page.write, settings=settings), page


def state(path: Path) -> State:
    route = load_route(path)
    return load_job(route, logs_folder(route)).surveys[-1].state


def typed(path: Path, station: str, chord: str) -> dict[str, str]:
    return {slot: entry.typed for slot, entry in state(path).readings((station, chord))[-1].slots.items()}


def saved_entries(path: Path) -> int:
    route = load_route(path)
    return len(load_job(route, logs_folder(route)).surveys[-1].logs[0].records)


@pytest.fixture
def route(tmp_path: Path) -> Path:
    return lay(tmp_path)


# -- a whole survey --------------------------------------------------------------------------------------------------


def test_a_whole_survey_by_lines(route: Path) -> None:
    status, page = talk(begin(route), *START, *LR, *LK, *B, "1")
    assert status == 0
    assert state(route).closed
    dials = {"dial_1": "12.34", "dial_2": "12.36", "dial_3": "12,31"}
    figures = {"hole": "320", **dials, "hole_again": "320", "temperature": "9.5"}
    assert typed(route, "A", "L-R") == figures
    log = load_job(load_route(route), logs_folder(load_route(route))).surveys[-1].logs[0]
    assert code_fits(page.text.split("Code for the field book: ")[1].splitlines()[0], log.records[-1].h)


def test_the_figures_are_explained_from_the_first_dial_on(route: Path) -> None:
    _, page = talk(begin(route), *START, "1", "320", "12.34", "12.36", "12,31", "320", "9.5")
    after_hole, *after = page.text.split("saved ")[-6:]
    assert "length" not in after_hole
    assert all("length" in text for text in after)
    assert "tape at 20.0 assumed" in after[0]
    assert "assumed" not in after[4]
    assert "repeats      agree" in after[2]


def test_what_stays_the_same_between_the_repeats_is_said_once_and_at_the_end(route: Path) -> None:
    _, page = talk(begin(route), *START, "1", "320", "12.34", "12.36", "12.31", "320", "9.5")
    before, last = page.text.split("tape temp", 1)
    assert before.count("no earlier reading with this tape") == 1
    assert before.count("  length ") == 4
    assert last.count("no earlier reading with this tape") == 1


def test_what_was_shown_is_booked_with_the_acceptance(route: Path) -> None:
    talk(begin(route), *START, *LR)
    log = load_job(load_route(route), logs_folder(load_route(route))).surveys[-1].logs[0]
    (accepted,) = [record for record in log.records if record.kind == "accepted"]
    assert accepted.data["shown"]["length"].startswith("8011.")


def test_cautions_stand_above_their_prompt_and_at_their_station(route: Path) -> None:
    _, page = talk(begin(route), *START, *LR)
    assert "Before anyone goes in:" in page.text
    assert page.text.index("! Loose block above the left anchor.") < page.text.index("At station A, 1 and Enter")


def test_a_station_says_before_its_first_chord_what_is_needed_to_reach_its_anchors(route: Path) -> None:
    text = route.read_text(encoding="utf-8").replace("[uncertainty]", "standing_reach = 2.3\npole = 1.5\n[uncertainty]")
    note = 'name = "A"\nnote = "Switch the fan off."'
    route.write_text(text.replace('name = "A"', note, 1), encoding="utf-8")
    _, page = talk(begin(route), *START, *LR)
    arrived = page.text[page.text.index("Station A: L-R, L-K") : page.text.index("At station A, 1 and Enter")]
    assert "! platform needed for K" in arrived
    assert "Switch the fan off." in arrived


def test_a_fourth_repeat_is_asked_for_and_may_be_declined(route: Path) -> None:
    walk = begin(route)
    _, page = talk(walk, *START, "1", "320", "12.34", "13.36", "12.31", "", "320")
    assert page.prompts[-3].startswith("A L-R: dial 4 mm (those before do not agree")
    assert page.prompts[-1].startswith("A L-R: tape temp")
    assert "DO NOT AGREE: dial 2 stands apart" in page.text


def test_a_station_s_caution_is_not_passed_over_with_an_enter_that_comes_twice(route: Path) -> None:
    _, page = talk(begin(route), *START, "", "", "2")
    assert state(route).at is None
    assert page.text.count("This station has a caution. Read it, then 1 and Enter goes on. Nothing was booked.") == 2
    assert "“2” is no answer here. 1 and Enter: the caution is read, go on. Nothing was booked." in page.text
    talk(resume(route), "1")
    assert state(route).at == "A"


def test_a_station_without_a_caution_is_gone_on_from_with_enter(route: Path) -> None:
    _, page = talk(begin(route), *START, *LR, *LK, "1", "", "320")
    assert "“1” is no answer here. Enter alone goes on. Nothing was booked." in page.text
    assert typed(route, "B", "L-R") == {"hole": "320"}


def test_a_level_is_not_passed_over_with_a_bare_enter(route: Path) -> None:
    talk(begin(route), *START, *LR, *LK, *B, "1")
    figures = ("1", "320", "6.5", "6.5", "6.5", "320", "9.5")
    _, page = talk(begin(route, Ticking(NEXT_DAY)), *START, *figures, "", "2", "1")
    assert page.text.count("is to be seen before the tape is unhooked. 1 and Enter: it is seen, go on") == 1
    assert "“2” is no answer here. 1 and Enter: it is seen, go on, a reads again, c corrects." in page.text
    assert page.prompts[-1].startswith("A L-K: hole")
    assert state(route).readings(("A", "L-R"))[-1].outcome == "read"


def test_where_there_is_nothing_to_keep_it_is_said_what_goes_on(route: Path) -> None:
    talk(begin(route), *START, *LR, *LK, *B, "1")
    _, page = talk(begin(route, Ticking(NEXT_DAY)), *START, "1", "k", "320", "6.5", "6.5", "6.5", "320", "9.5", "k")
    assert "A reading can be kept once all its figures are in. Nothing was booked." in page.text
    assert "nothing here that does not agree. 1 and Enter: it is seen, go on, a reads again" in page.text
    assert "Enter alone accepts" not in page.text


def test_a_one_typed_too_early_accepts_nothing_where_enter_does(route: Path) -> None:
    _, page = talk(begin(route), *START, *LR[:-1], "1")
    assert "“1” is no answer here. Enter accepts, a reads again, c corrects. Nothing was booked." in page.text
    assert state(route).readings(("A", "L-R"))[-1].outcome == ""


def test_keys_of_the_settings_file_are_the_orders_of_the_lines(route: Path) -> None:
    settings = parse_settings('[keys]\nagain = "r"\ncorrect = ["g", "*"]\nleave = "/"\nunread = "n"\n', "settings.toml")
    assert not settings.problems
    figures = ("1", "320", "12.34", "12.36", "12.31", "320", "9.5")
    _, page = talk(begin(route), *START, *figures, "c 12.35", "g", "g", "", "r", "/leave", settings=settings)
    assert "Enter accepts, r reads again, g corrects: " in page.text
    assert "“c 12.35” is no answer here." in page.text
    assert "empty: leave it, g: one before" in page.text
    assert page.prompts[-1].startswith("A L-R, reading 2: hole")
    assert "The lines have ended." not in page.text


def test_an_action_without_a_letter_is_typed_by_its_key_or_its_name(route: Path) -> None:
    settings = parse_settings('[keys]\nnote = "f6"\n', "settings.toml")
    _, page = talk(begin(route), *START, "1", "note loose rock", "?", "/", settings=settings)
    assert [note.text for note in state(route).notes] == ["loose rock"]
    assert "  note [TEXT]" in page.text


def test_what_is_wrong_in_the_settings_is_said_before_the_first_line(route: Path) -> None:
    page = Page()
    job = load_job(load_route(route), logs_folder(load_route(route)))
    start_plain(job, page.read, page.write, settings=parse_settings('[keys]\nnote = "5"\n', "settings.toml"))
    assert page.text.startswith("! settings.toml: keys.note: “5” cannot stand for an action.")


def test_a_call_that_opens_when_its_reading_is_accepted_is_said_to(tmp_path: Path) -> None:
    clock = Ticking()
    path = with_past(lay(tmp_path), before=clock.now)
    job = load_job(load_route(path), logs_folder(load_route(path)))
    figures = ("319", "20.30", "20.33", "20.31", "12")
    page = Page(*START, "1", *figures, "w", "a", *figures, "w", ends=EOFError)
    run_plain(Walk.begin(job, clock=clock), page.read, page.write, job=job)
    assert "The call opens when this reading is accepted" in page.text
    assert "nobody has to be told" not in page.text


def test_closing_with_a_chord_at_a_level_is_worth_attention(route: Path) -> None:
    assert talk(begin(route), *START, *LR, *LK, *B, "1")[0] == 0
    lk = ("240", "20.11", "20.13", "20.1", "240", "9.5", "")
    b = ("", "320", "8.21", "8.20", "8.23", "320", "9.1", "")
    status, page = talk(
        begin(route, Ticking(NEXT_DAY)), *START, "1", "320", "6.5", "6.5", "6.5", "320", "9.5", "1", *lk, *b, "1"
    )
    assert status == 1
    assert "!! A L-R: above: look (closing 5.0 mm)" in page.text
    assert "Read again within the shift." in page.text


def test_what_the_last_survey_answered_is_taken_by_enter(route: Path) -> None:
    talk(begin(route), "AB", "CD", *START[2:4], "heading", *START[5:], *LR, *LK, *B, "1")
    _, page = talk(begin(route, Ticking(NEXT_DAY)), "", "-", "", "", "", "", "0.00")
    assert page.prompts[0].endswith("[AB]: ")
    assert page.prompts[1].endswith("[CD, -: none]: ")
    answers = {what: entry.typed for what, entry in state(route).said.items()}
    assert (answers["reader"], answers["recorder"], answers["stage"]) == ("AB", "", "heading")
    assert (answers["tape"], answers["extensometer"]) == ("T1", "X1")


# -- leaving, dying, coming back -------------------------------------------------------------------------------------


@pytest.mark.parametrize("count", range(len(START + LR + LK) + 1))
def test_wherever_the_lines_end_the_survey_goes_on_at_the_same_prompt(route: Path, count: int) -> None:
    lines = (START + LR + LK)[:count]
    status, page = talk(begin(route), *lines)
    assert status == 1
    assert "The lines have ended." in page.text
    assert "is not closed and waits at the same prompt" in page.text
    _, later = talk(resume(route))
    assert later.prompts == page.prompts[-1:]


def test_an_interruption_leaves_the_survey_open_and_says_so(route: Path) -> None:
    status, page = talk(begin(route), *START, "1", "320", ends=KeyboardInterrupt)
    assert status == 1
    assert "Stopped." in page.text
    assert "is not closed and waits at the same prompt" in page.text
    assert resume(route).step.what == "dial_1"


def test_leaving_by_order_is_not_worth_attention(route: Path) -> None:
    status, page = talk(begin(route), *START, "q")
    assert status == 0
    assert "is not closed and waits at the same prompt" in page.text


def test_a_reader_may_be_called_q(route: Path) -> None:
    talk(begin(route), "q", "/q")
    assert state(route).answer("reader") == "q"
    assert state(route).answer("recorder") is None


# -- lines that cannot be booked -------------------------------------------------------------------------------------

REFUSED = {
    "reader": ["", "x" * 300, "\ufffd"],
    "tape": ["3", "T9"],
    "zero": ["", "abc", "1.2.3", "50.01", "-0.01"],
    "arrive": ["320", "yes"],
    "hole": ["", "12.5", "0", "601", "-3", "12a", "１２", "\ufffd", "9" * 400, "1_0", "nan", "inf", "0x10"],
    "hole_again": ["", "700"],
    "dial_1": ["", "50.01", "-1", "1,2,3", "1.2.3", "12 34", "--1", "\x00", "1e1"],
    "dial_2": ["", "60"],
    "dial_3": ["", "60"],
    "temperature": ["", "61", "-41", "warm", "20 C"],
    "result": ["yes", "12.3", "accept"],
    "end": ["", "4", "0", "-1", "close", "9" * 5000],
}
GOOD = {
    "reader": "AB",
    "recorder": "",
    "tape": "1",
    "extensometer": "1",
    "stage": "",
    "cautions": "",
    "zero": "0",
    "arrive": "",
    "hole": "320",
    "hole_again": "320",
    "dial_1": "12.34",
    "dial_2": "12.35",
    "dial_3": "12.36",
    "temperature": "9",
    "result": "",
}


def test_every_bad_line_at_every_prompt_is_refused_with_a_sentence(route: Path) -> None:
    """Three chords are walked; before each good line all bad ones are typed."""
    walk = begin(route)
    page = Page()
    tried: Counter[Step] = Counter()
    refused = 0

    def read(prompt: str) -> str:
        nonlocal refused
        step = walk.step
        name = step.what if step.kind in ("say", "figure") else step.kind
        bad = REFUSED.get(name, [])
        if tried[step] < len(bad):
            tried[step] += 1
            refused += 1
            return bad[tried[step] - 1]
        if step.kind == "end":
            raise EOFError
        crown = step.target is not None and step.target.chord == "L-K"
        if name == "arrive" and step.what == "A":
            return "1"
        return "240" if crown and name in HOLES else GOOD[name]

    assert run_plain(walk, read, page.write) == 1
    sentences = [line for line in page.text.splitlines() if line.endswith("Nothing was booked.")]
    assert len(sentences) == refused > 100
    assert all(len(line.split()) > 6 for line in sentences)
    # record 0 and the route, 6 answers and the zero, 2 arrivals, 3 chords of 6 figures and an acceptance
    assert [record.kind for record in walk.writer.records].count("figure") == 1 + 3 * 6
    assert len(walk.writer.records) == 2 + 7 + 2 + 3 * 7


def test_a_line_of_bytes_that_are_no_text_is_refused_by_the_real_program(route: Path) -> None:
    lines = "\n".join(START[:-1]).encode() + b"\n\xff\xfe\n0.00\n1\n\xc3\n320\n"
    done = program(route, lines)
    assert done.returncode == 1
    assert done.stdout.count("no text (UTF-8)") == 2
    assert typed(route, "A", "L-R") == {"hole": "320"}
    assert done.stderr == ""


def test_a_byte_order_mark_and_windows_line_ends_do_no_harm(route: Path) -> None:
    program(route, b"\xef\xbb\xbf" + "\r\n".join((*START, "1", "320", "12,5")).encode() + b"\r\n")
    assert state(route).answer("reader") == "AB"
    assert typed(route, "A", "L-R") == {"hole": "320", "dial_1": "12,5"}
    program(route, b"\xef\xbb\xbf1\r\n12,6\r\n")
    assert typed(route, "A", "L-R")["dial_2"] == "12,6"


# -- orders ----------------------------------------------------------------------------------------------------------


def test_the_figure_booked_last_is_corrected_and_the_wrong_one_kept(route: Path) -> None:
    _, page = talk(begin(route), *START, "1", "320", "21.34", "c 12.34", "12.35")
    booking = state(route).readings(("A", "L-R"))[0]
    assert [one.entry.typed for one in booking.struck] == ["21.34"]
    assert typed(route, "A", "L-R")["dial_1"] == "12.34"
    assert "A L-R: dial 1 mm 12.34 instead of 21.34" in page.text


def test_a_figure_further_back_is_reached_by_more_c(route: Path) -> None:
    talk(begin(route), *START, "1", "302", "12.34", "12.35", "c", "c", "c", "320")
    assert typed(route, "A", "L-R") == {"hole": "320", "dial_1": "12.34", "dial_2": "12.35"}


def test_nothing_is_corrected_by_an_empty_line_or_a_figure_that_cannot_be(route: Path) -> None:
    _, page = talk(begin(route), *START, "1", "320", "12.34", "c", "", "c 60", "c", "x")
    assert typed(route, "A", "L-R") == {"hole": "320", "dial_1": "12.34"}
    assert "left as it is" in page.text
    assert page.text.count("Nothing was booked.") == 2


def test_the_figure_that_stands_is_not_booked_again_and_opens_nothing(route: Path) -> None:
    _, page = talk(begin(route), *START, *LR, "c 9.5")
    booking = state(route).readings(("A", "L-R"))[0]
    assert (booking.outcome, booking.struck) == ("read", ())
    assert "9.5 is what is booked; left as it is" in page.text
    assert page.prompts[-1].startswith("A L-K: hole")


def test_a_hole_read_the_same_once_more_is_booked_since_it_was_asked_for(route: Path) -> None:
    _, page = talk(begin(route), *START, "1", "320", "12.34", "12.36", "12.31", "321", "320", "320", "9.5")
    assert [one.split(": ")[1] for one in page.prompts[-5:]] == [
        "hole again",
        "hole",
        "hole again",
        "tape temp degC",
        "all figures are in; Enter accepts, a reads again, c corrects",
    ]


def test_a_correction_made_later_leaves_the_time_of_reading(route: Path) -> None:
    clock = Ticking()
    walk = begin(route, clock)
    talk(walk, *START, *LR)
    before = state(route).readings(("A", "L-R"))[0].read_at
    clock.now += timedelta(hours=5)
    talk(resume(route, clock), "c", "c", "c", "12.32", "")
    after = state(route).readings(("A", "L-R"))[0]
    assert (after.read_at, after.slots["dial_3"].typed, after.outcome) == (before, "12.32", "read")


def test_a_hole_corrected_once_all_figures_are_in_says_anew_what_they_mean(route: Path) -> None:
    _, page = talk(begin(route), *START, "1", "300", *LR[2:5], "300", "9.5", "c", "c", "320", "320")
    after = page.text.rsplit("A L-R: hole: ", 1)[1]
    assert "length       8011.36" in after
    assert "as booked" in after


def test_there_may_be_nothing_to_correct(route: Path) -> None:
    _, page = talk(begin(route), *START[:-1], "c")
    assert "No earlier figure is booked" in page.text


@pytest.mark.parametrize(
    ("lines", "outcome", "note"),
    [
        (["n blocked"], "blocked", ""),
        (["n BLOCKED a wagon"], "blocked", "a wagon"),
        (["/ lost"], "lost", ""),
        (["n 1"], "blocked", ""),
        (["n 2 since the blast"], "lost", "since the blast"),
        (["n 5", "no light"], "other", "no light"),
        (["n", "3"], "buried", ""),
        (["n", "5", "no light"], "other", "no light"),
        (["n no light at all"], "other", "no light at all"),
        (["n other", "no light"], "other", "no light"),
        (["u"], "unsafe", ""),
        (["u rock fell"], "unsafe", "rock fell"),
    ],
)
def test_a_chord_is_booked_as_not_read(route: Path, lines: Iterable[str], outcome: str, note: str) -> None:
    _, page = talk(begin(route), *START, "1", *lines)
    assert state(route).readings(("A", "L-R"))[0].outcome == outcome
    assert state(route).readings(("A", "L-R"))[0].reason == note
    assert page.prompts[-1].startswith("A L-K: hole")


@pytest.mark.parametrize(
    "lines",
    [
        ["n", "6"],
        ["n 6"],
        ["n 0"],
        ["n", "0"],
        ["n", "back"],
        ["n", ""],
        ["n", "5", " "],
        ["n other", ""],
        ["n", "\ufffd"],
    ],
)
def test_a_reason_that_is_none_books_nothing(route: Path, lines: Iterable[str]) -> None:
    _, page = talk(begin(route), *START, "1", *lines)
    assert not state(route).readings(("A", "L-R"))
    assert "Nothing was booked." in page.text


@pytest.mark.parametrize("line", ["j B L-R", "j b r-l", "J  B   L-R", "j 3"])
def test_another_chord_is_gone_to_by_name_or_number(route: Path, line: str) -> None:
    _, page = talk(begin(route), *START, "1", line, "")
    assert page.prompts[-1].startswith("B L-R: hole")


def test_the_chords_are_listed_with_what_became_of_them(route: Path) -> None:
    _, page = talk(begin(route), *START, *LR, "u", "", "321", "j", "A L-K")
    assert "1 A L-R  read\n" in page.text
    assert "2 A L-K  not read: it is unsafe to stand there\n" in page.text
    assert "3 B L-R  begun\n" in page.text
    assert page.prompts[-1].startswith("At station A")


@pytest.mark.parametrize("line", ["j Z L-R", "j A L-Z", "j 4", "j A", "j A L R"])
def test_a_chord_that_is_not_there_is_not_gone_to(route: Path, line: str) -> None:
    _, page = talk(begin(route), *START, "1", line)
    assert "Nothing was booked." in page.text
    assert page.prompts[-1].startswith("A L-R: hole")


def test_a_note_is_kept_at_its_chord(route: Path) -> None:
    talk(begin(route), *START, "1", "t L is loose [?]", "t", "second")
    assert [(note.text, note.station, note.chord) for note in state(route).notes] == [
        ("L is loose [?]", "A", "L-R"),
        ("second", "A", "L-R"),
    ]


def test_an_empty_note_is_refused(route: Path) -> None:
    _, page = talk(begin(route), *START, "1", "t", "")
    assert state(route).notes == ()
    assert "The note is empty." in page.text


def test_a_chord_is_read_again_and_both_readings_stand(route: Path) -> None:
    _, page = talk(begin(route), *START, *LR[:-1], "a", *LR[1:])
    assert [booking.target.reading for booking in state(route).readings(("A", "L-R"))] == [1, 2]
    assert page.prompts[-1].startswith("A L-K: hole")


def test_a_second_reading_needs_a_first(route: Path) -> None:
    _, page = talk(begin(route), *START, "1", "320", "a")
    assert "begins when the first is complete" in page.text


def test_at_the_end_what_is_missing_is_named_and_can_be_read(route: Path) -> None:
    _, page = talk(begin(route), *START, *LR, "e", "1")
    assert "! A L-K is missing\n! B L-R is missing\n" in page.text
    assert page.prompts[-1].startswith("A L-K: hole")


def test_closing_with_chords_missing_is_worth_attention(route: Path) -> None:
    status, _ = talk(begin(route), *START, *LR, "e", "2", "close")
    assert status == 1
    assert state(route).closed


def test_the_limit_of_a_dial_zero_is_told_with_the_decimals_of_a_figure(route: Path) -> None:
    _, page = talk(begin(route), *START, "+ zero", "0.01", "+ zero", "0.2")
    assert "+0.01 mm since the start, within 0.14\n" in page.text
    assert "+0.20 mm since the start, more than 0.14: this survey is in doubt" in page.text


def test_a_reading_that_is_ahead_of_the_clock_is_not_told_as_hours_ago(route: Path) -> None:
    talk(begin(route), *START, *LR, *LK, *B, "1")
    _, page = talk(begin(route, Ticking(NEXT_DAY - timedelta(days=3))), *START, *LR[:-1])
    assert re.search(r" 48\.0 h later than now by this clock, 04 May ", page.text)
    assert "ago" not in page.text
    _, page = talk(begin(route, Ticking(NEXT_DAY + timedelta(days=1))), *START, *LR[:-1])
    assert re.search(r"since last .*\n +48\.0 h ago, 04 May ", page.text)
    assert re.search(r"rate .* mm/d over 48\.0 h\n", page.text)


def test_a_second_reading_that_says_the_same_is_not_asked_for_a_third_time(tmp_path: Path) -> None:
    clock = Ticking()
    path = with_past(lay(tmp_path), before=clock.now)
    moved, off = ("319", "28.10", "28.13", "28.11", "12"), ("319", "24.10", "24.13", "24.11", "12")
    again = "look         ! read again: a second reading that says the same is movement"
    _, page = talk(begin(path, clock), *START, "1", *moved, "a", *off, "a", *moved)
    first, second, third = page.text.split("all figures are in and do not agree")[:3]
    assert again in first
    assert again in second
    assert "says the same, " not in second
    assert again in third
    walk = resume(path, clock)
    _, page = talk(walk, "a", *moved)
    whole = page.text.split("all figures are in and do not agree")[-2]
    assert again not in whole
    assert "look         ! reading 3 says the same, +0.00 ±0." in whole
    assert "mm: it can be kept for that reason" in whole


def test_a_chord_that_was_begun_is_named_so_where_it_is_missing(route: Path) -> None:
    _, page = talk(begin(route), *START, *LR[:-1], "e")
    assert "! A L-R is missing: begun, not accepted" in page.text
    assert "! A L-K is missing\n" in page.text


def test_at_each_chord_it_is_said_where_the_hook_goes(route: Path) -> None:
    _, page = talk(begin(route), *START, *LR)
    assert page.text.index("A L-R: hook at L, instrument at R") < page.text.index("A L-R: hole:")
    assert page.text.count("hook at") == 2
    assert "A L-K: hook at L, instrument at K" in page.text


def test_the_number_pad_alone_reaches_every_order_by_a_list(route: Path) -> None:
    walk = begin(route)
    talk(walk, *START, "1", "+")
    listed = [action.id for action in USUAL.actions if action.id != "more"]
    done: list[str] = []
    with pytest.MonkeyPatch.context() as patch:
        noted = {what: partial(lambda what, _talk, _rest: done.append(what), what) for what in listed}
        patch.setattr(doing, "_ORDERS", {**doing._ORDERS, **noted})
        for place in range(1, len(listed) + 1):
            talk(resume(route), "+", str(place))
    assert done == listed
    _, page = talk(resume(route), "+", str(len(listed) + 2), "1", "+", "0", "+", "99", "+", "")
    assert state(route).said["dial"].typed == "it was off"
    assert "The list is left." in page.text
    assert "“99” is not in the list. Type a number from 1 to 18." in page.text
    assert "No number was typed." in page.text


def test_a_survey_with_chords_missing_can_be_left_for_good_by_the_number_pad(route: Path) -> None:
    end = [action.id for action in USUAL.actions if action.id != "more"].index("end") + 1
    talk(begin(route), *START, *LR, "+", str(end), "2", "***")
    assert state(route).closed


def test_a_doubted_reading_is_kept_by_the_number_pad(tmp_path: Path) -> None:
    clock = Ticking()
    path = with_past(lay(tmp_path), before=clock.now)
    keep = [action.id for action in USUAL.actions if action.id != "more"].index("keep") + 1
    figures = ("1", "321", "12.34", "12.36", "12.31", "9.5")
    _, page = talk(begin(path, clock), *START, *figures, "+", str(keep), "3")
    assert "3 there was no way to read it again" in page.text
    booking = state(path).readings(("A", "L-R"))[-1]
    assert (booking.outcome, booking.reason) == ("kept", "there was no way to read it again")


@pytest.mark.parametrize("line", ["", "c", "y", "2", "Close it"])
def test_with_chords_missing_closing_is_typed_in_full(route: Path, line: str) -> None:
    _, page = talk(begin(route), *START, *LR, "e", "2", line)
    assert not state(route).closed
    assert "2 planned chords are missing. To close it all the same, type close" in page.text
    assert "The survey is not closed." in page.text


def test_what_was_not_read_is_listed_at_the_end(route: Path) -> None:
    _, page = talk(begin(route), *START, *LR, "u bolts bent", "", "n 1")
    assert "1 read, 2 not read: A L-K (unsafe, bolts bent); B L-R (blocked).\n" in page.text


def test_what_is_missing_is_not_among_what_was_not_read(route: Path) -> None:
    _, page = talk(begin(route), *START, *LR, "u", "e")
    assert "1 read, 1 not read: A L-K (unsafe).\n! B L-R is missing\n" in page.text


def test_where_all_was_read_nothing_is_listed(route: Path) -> None:
    _, page = talk(begin(route), *START, *LR, *LK, *B)
    assert "\n3 read.\n" in page.text


def test_what_the_lengths_share_is_told_at_the_end(tmp_path: Path) -> None:
    path = lay(tmp_path, control=True)
    frame = ("199", "18.40", "18.41", "18.40", "12.0", "")
    for days in range(6):
        walk = begin(path, Ticking(NEXT_DAY + timedelta(days=days)))
        off = 0 if days < 5 else 3
        for typed in (*START, *(f"{float(t) + off:.2f}" if "18" in t else t for t in frame)):
            accept(walk) if walk.step.kind == "result" else walk.book(typed)
        while walk.step.target is not None and walk.step.target.is_chord:
            hole = CALM[walk.step.target.key]
            book_chord(walk, hole, *(f"{dial + off:.2f}" for dial in (12.30, 12.32, 12.31)))
        if days < 5:
            for typed in frame:
                walk.book(typed)
            walk.close()
    _, page = talk(walk, "199", "21.40", "21.41", "21.40", "12.0", "k as at the start")
    assert "\n! In common: " in page.text


class TestAFrameThatFails:
    FRAME = ("199", "18.40", "18.41", "18.40", "12.0")
    MOVED = ("199", "21.40", "21.41", "21.40", "12.0")

    @pytest.fixture
    def second_day(self, tmp_path: Path) -> tuple[Path, Walk]:
        path = lay(tmp_path, control=True)
        text = path.read_text()
        tape = text[text.index("[[tape]]") : text.index("[[extensometer]]")]
        path.write_text(text.replace("[[extensometer]]", tape.replace("T1", "T2") + "[[extensometer]]", 1))
        talk(begin(path), *START, *self.FRAME, "")
        first = resume(path)
        first.close()
        return path, begin(path, Ticking(NEXT_DAY))

    def test_enter_alone_does_not_accept_it(self, second_day: tuple[Path, Walk]) -> None:
        _, walk = second_day
        _, page = talk(walk, *START, *self.MOVED, "")
        assert "The control frame is not what it was." in page.text
        assert "m tape takes another" in page.prompts[-1]
        assert "extensometer takes" not in page.prompts[-1]
        assert walk.step.kind == "result"

    def test_it_is_gone_on_with_for_a_reason(self, second_day: tuple[Path, Walk]) -> None:
        path, walk = second_day
        talk(walk, *START, *self.MOVED, "k no other tape here")
        (frame,) = (one for target, one in state(path).bookings.items() if target.is_frame)
        assert (frame.outcome, frame.reason) == ("kept", "no other tape here")

    def test_another_tape_is_taken_and_proved_next(self, second_day: tuple[Path, Walk]) -> None:
        path, walk = second_day
        talk(walk, *START, *self.MOVED, "m tape", "2", "1")
        first = next(one for target, one in state(path).bookings.items() if target.is_frame)
        assert (first.tape, first.outcome, first.reason) == ("T1", "kept", "tape T2 is taken instead")
        assert walk.step.target is not None
        assert walk.step.target.is_frame
        assert walk.step.kind == "figure"

    def test_read_again_as_it_was_it_is_accepted(self, second_day: tuple[Path, Walk]) -> None:
        _, walk = second_day
        talk(walk, *START, *self.MOVED, "a", *self.FRAME, "")
        assert walk.step.kind == "arrive"


def test_a_copy_of_the_closed_log_is_taken_by_a_line(route: Path, tmp_path: Path) -> None:
    (tmp_path / "stick").mkdir()
    walk = begin(route)
    status, page = talk(walk, *START, *LR, *LK, *B, "1", str(tmp_path / "nowhere"), str(tmp_path / "stick"))
    assert status == 0
    (copy,) = (tmp_path / "stick").iterdir()
    assert copy.read_bytes() == walk.writer.path.read_bytes()
    assert "The copy was not made" in page.text
    assert "Copied, read back and the same" in page.text


@pytest.mark.parametrize("line", ["", "0", "back"])
def test_no_copy_need_be_taken(route: Path, line: str) -> None:
    status, page = talk(begin(route), *START, *LR, *LK, *B, "1", line)
    assert status == 0
    assert page.prompts[-1].startswith("Copy the log to")
    assert "Copied" not in page.text


def test_at_the_end_the_survey_can_be_left_open(route: Path) -> None:
    status, _ = talk(begin(route), *START, *LR, *LK, *B, "2")
    assert status == 0
    assert not state(route).closed


def test_a_dial_that_was_off_has_its_zero_read_next(route: Path) -> None:
    _, page = talk(begin(route), *START, *LR, "m dial", "1", "0.01")
    zeros = [(target.part, target.reading) for target in state(route).bookings if target.is_zero]
    assert zeros == [("start", 1), ("between", 1)]
    assert state(route).answer("dial") == "it was off"
    assert page.prompts[-1].startswith("A L-K: hole")


def test_care_is_booked_by_the_route_s_list(tmp_path: Path) -> None:
    listed = lay(tmp_path, more='[[care]]\nwhat = "dial battery"\nevery_days = 30\n')
    _, page = talk(begin(listed), *START, "m care", "1")
    assert state(listed).answer("care dial battery") == "done"
    bare = tmp_path / "bare"
    bare.mkdir()
    _, page = talk(begin(lay(bare)), *START, "m care")
    assert "The route lists no care." in page.text


@pytest.mark.parametrize("line", ["j B L-R", "e", "m zero"])
def test_the_questions_come_first(route: Path, line: str) -> None:
    _, page = talk(begin(route), *START[:2], f"/{line}")
    assert "The survey has not begun." in page.text


def test_the_zero_is_checked_between(route: Path) -> None:
    _, page = talk(begin(route), *START, *LR, "m zero", "0.01", "m", "zero", "0.02")
    zeros = [(target.part, target.reading) for target in state(route).bookings if target.is_zero]
    assert zeros == [("start", 1), ("between", 1), ("between", 2)]
    assert page.prompts[-1].startswith("A L-K: hole")


def test_the_tape_in_use_can_be_said_anew(route: Path) -> None:
    _, page = talk(begin(route), *START, "m tape", "T9", "m tape", "1", "1", "m hammer")
    assert state(route).answer("tape") == "T1"
    assert page.text.count("Nothing was booked.") == 2


@pytest.mark.parametrize("list_of", ["j", "n", "x", "m tape", "m"])
@pytest.mark.parametrize("line", ["0", "back", "BACK"])
def test_a_list_is_left(route: Path, list_of: str, line: str) -> None:
    _, page = talk(begin(route), *START, "1", list_of, line)
    assert page.prompts[-1].startswith("A L-R: hole")
    assert "The list is left. All is as it was. Nothing was booked." in page.text


def test_the_time_is_set_right(route: Path) -> None:
    clock = Ticking()
    talk(begin(route, clock), *START, *LR, "m time 03:40", "m time", "03:45", "m time 25:00")
    right = state(route).readings(("A", "L-R"))[0].read_at
    assert right is not None
    assert timedelta(minutes=44) < right - datetime(2031, 5, 4, 3, 0, tzinfo=UTC) < timedelta(minutes=46)
    assert state(route).shift.total_seconds() > 6000


def test_help_says_every_order_and_books_nothing(route: Path) -> None:
    _, page = talk(begin(route), "?", *START[:1], "?")
    assert page.text.count("Instead of a figure:") == 2
    for letter in "cnujtaemq?":
        assert f"\n  {letter} " in page.text
    assert state(route).answer("recorder") is None


# -- a disk that does not take it ------------------------------------------------------------------------------------


class FullFolder(OsCalls):
    """Writing fails from a call on; a new file in another folder can be written."""

    def __init__(self) -> None:
        super().__init__()
        self.full = False

    def fsync(self, fd: int) -> None:
        if self.full:
            self.full = False
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        super().fsync(fd)


def test_an_entry_that_was_not_saved_is_booked_in_a_new_file(route: Path, tmp_path: Path) -> None:
    walk = begin(route)
    calls = FullFolder()
    walk.writer._calls = calls
    lines = iter((*START, "1", "320", "12.34", "", "12.36"))
    page = Page()

    def read(prompt: str) -> str:
        page.prompts.append(prompt)
        line = next(lines, None)
        if line is None:
            raise EOFError
        calls.full = line == "12.34"
        return line

    assert run_plain(walk, read, page.write) == 1
    assert "NOT SAVED: A L-R dial 1 12.34." in page.text
    assert "Saved in the new file" in page.text
    assert typed(route, "A", "L-R") == {"hole": "320", "dial_1": "12.34", "dial_2": "12.36"}


# -- which survey ----------------------------------------------------------------------------------------------------


def start(path: Path, *lines: str, clock: Ticking | None = None) -> tuple[int, Page]:
    route = load_route(path)
    page = Page(*lines)
    job = load_job(route, logs_folder(route))
    return start_plain(job, page.read, page.write, clock=clock or Ticking()), page


def surveys(path: Path) -> int:
    route = load_route(path)
    return len(load_job(route, logs_folder(route)).surveys)


def test_without_an_open_survey_a_new_one_begins_at_once(route: Path) -> None:
    _, page = start(route, *START)
    assert page.prompts[0].startswith("Who reads")


def test_an_open_survey_is_resumed(route: Path) -> None:
    start(route, *START, "1", "320")
    _, page = start(route, "1", "12.34")
    assert "1 resume survey 2031-05-04, begun 04 May 02:00" in page.text
    assert page.prompts[1] == "A L-R: dial 1 mm: "
    assert typed(route, "A", "L-R") == {"hole": "320", "dial_1": "12.34"}
    assert surveys(route) == 1


def test_closing_as_it_is_with_a_chord_at_a_level_is_worth_attention(route: Path) -> None:
    talk(begin(route), *START, *LR, *LK, *B, "1")
    lk = ("240", "20.11", "20.13", "20.1", "240", "9.5", "")
    b = ("", "320", "8.21", "8.20", "8.23", "320", "9.1", "")
    next_day = Ticking(NEXT_DAY)
    talk(begin(route, next_day), *START, "1", "320", "6.5", "6.5", "6.5", "320", "9.5", "1", *lk, *b, "2")
    status, page = start(route, "2", "", clock=next_day)
    assert "is closed." in page.text
    assert status == 1


def test_an_open_survey_is_closed_as_it_is(route: Path) -> None:
    start(route, *START, "1", "320")
    status, page = start(route, "2", "no", "2", "close")
    assert status == 1
    assert page.text.count("type close or ***: ") == 2
    assert "is closed." in page.text
    assert state(route).closed


def test_a_new_survey_is_begun_beside_an_open_one(route: Path) -> None:
    start(route, *START)
    start(route, "3", "EF", clock=Ticking(NEXT_DAY))
    assert surveys(route) == 2
    assert state(route).answer("reader") == "EF"


@pytest.mark.parametrize("line", ["0", "back"])
def test_the_choice_can_be_left(route: Path, line: str) -> None:
    start(route, *START)
    status, page = start(route, line)
    assert status == 1
    assert "Nothing was begun or changed." in page.text
    assert len(page.prompts) == 1


def test_a_practice_survey_is_kept_out_of_the_job(route: Path) -> None:
    start(route, *START)
    _, page = start(route, "4", *START, *LR, clock=Ticking(NEXT_DAY))
    assert "Practice: kept out of the job" in page.text
    job = load_job(load_route(route), route.parent / "logs")
    assert [survey.scope for survey in job.surveys] == ["survey", "practice"]
    assert job.history() == ()


def test_a_practice_survey_is_begun_from_the_command_line(route: Path) -> None:
    done = program(route, "\n".join(START).encode(), "--practice")
    assert "Practice: kept out of the job" in done.stdout
    assert load_job(load_route(route), route.parent / "logs").surveys[0].scope == "practice"


def test_a_clock_behind_the_last_log_is_told_before_the_start(route: Path) -> None:
    start(route, *START, "1", "320", clock=Ticking(NEXT_DAY))
    _, page = start(route, clock=Ticking())
    assert page.text.startswith("! The laptop's clock says 04 May 2031")


def test_what_is_wrong_around_the_survey_is_told_once(route: Path) -> None:
    clock = Ticking()
    walk = begin(route, clock)
    page = Page()
    lines = iter((*START, "1", "320", "12.34", "12.36"))

    def read(prompt: str) -> str:
        line = next(lines, None)
        if line is None:
            raise EOFError
        if line == "320":
            walk.watch.space = lambda folder: 1_000_000
        return line

    run_plain(walk, read, page.write)
    assert page.text.count("! Only 1.0 MB are left on the disk of the logs.") == 1


def test_the_list_of_open_surveys_says_how_it_is_left(route: Path) -> None:
    start(route, *START)
    status, page = start(route, "0")
    assert status == 1
    assert "\n  0 leave\n" in page.text
    assert "Nothing was begun or changed." in page.text


@pytest.mark.parametrize("line", ["9", "5", "resume", "\ufffd"])
def test_a_choice_that_is_none_is_asked_for_again(route: Path, line: str) -> None:
    start(route, *START)
    status, page = start(route, line)
    assert status == 1
    assert "is not in the list" in page.text
    assert "Nothing was begun or changed." in page.text
    assert surveys(route) == 1


# -- the real program ------------------------------------------------------------------------------------------------


def program(path: Path, lines: bytes, *more: str) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(
        [sys.executable, "-m", "fieldtui", "walk", "--plain", str(path), *more],
        input=lines,
        capture_output=True,
        check=False,
    )
    return subprocess.CompletedProcess(done.args, done.returncode, done.stdout.decode(), done.stderr.decode())


def test_the_real_program_walks_a_survey_from_a_pipe(route: Path) -> None:
    done = program(route, "\n".join((*START, *LR, *LK, *B, "1", "")).encode())
    assert (done.returncode, done.stderr) == (0, "")
    assert state(route).closed
    assert "A L-R: dial 1 mm: 12.34\n  saved " in done.stdout


def test_killed_in_the_middle_it_goes_on_at_the_same_prompt(route: Path) -> None:
    """SIGKILL while it waits for the next line."""
    with subprocess.Popen(
        [sys.executable, "-u", "-m", "fieldtui", "walk", "--plain", str(route)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    ) as process:
        assert process.stdin is not None
        assert process.stdout is not None
        process.stdin.write("\n".join((*START, "1", "320", "12.34", "")).encode())
        process.stdin.flush()
        while b"dial 1 mm: 12.34" not in process.stdout.readline():
            pass
        while b"saved" not in process.stdout.readline():
            pass
        process.kill()
    done = program(route, b"1\n12.36\n")
    assert "A L-R: dial 2 mm: 12.36\n" in done.stdout
    assert typed(route, "A", "L-R") == {"hole": "320", "dial_1": "12.34", "dial_2": "12.36"}


def test_no_screen_library_is_loaded(route: Path) -> None:
    """Nor anything else that is heavy: it must start on whatever machine there is."""
    asked = (
        "import sys; from pathlib import Path; from fieldtui.cli import main; "
        f"main(['walk', '--plain', {str(route)!r}]); "
        "print([name for name in ('textual', 'rich', 'pandas', 'numpy', 'scipy') if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", asked], input="", capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "[]"
