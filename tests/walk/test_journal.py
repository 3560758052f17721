"""The journal between surveys, filled in by keys: nothing is written before the last yes, and it counts at once."""

from __future__ import annotations

import re
import shutil
from datetime import datetime, timedelta, timezone
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from fieldtui.job import Job, declare, load_job, logs_folder
from fieldtui.job.asking import Ask, Form, moment
from fieldtui.job.forms import FORMS
from fieldtui.route import load_route
from fieldtui.survey import EntryRefused, Target, read_time
from fieldtui.tui.journal import FormDesk, JournalDesk
from fieldtui.tui.lines import text_of
from fieldtui.tui.list_desk import ListDesk, draw_list
from fieldtui.tui.questions import QuestionDesk, TextDesk
from fieldtui.tui.start import StartDesk
from harness.jobs import Ticking, answer_start, begin, book_calm, book_chord, lay, resume, with_past

LR = Target("A", "L-R")


def job_at(path: Path) -> Job:
    route = load_route(path)
    return load_job(route, logs_folder(route))


def press(desk: ListDesk, typed: str) -> ListDesk:
    """Type each key into the desk that is shown; `~` is Esc."""
    for key in typed:
        desk.press({"\n": "enter", "~": "escape"}.get(key, key), None if key in "\n~" else key)
        while desk.done and isinstance(desk.next, ListDesk):
            desk = desk.next
    return desk


def text(desk: ListDesk) -> str:
    return " ".join(text_of(draw_list(desk, 80, 24)).split())


def form(path: Path, kind: str) -> ListDesk:
    """The first question of a form, chosen by keys from the start page."""
    desk: ListDesk = StartDesk(job_at(path))
    journal = next(n for n, item in enumerate(desk.menu.items, 1) if "journal" in item.text)
    desk = press(desk, f"{journal}\n")
    assert isinstance(desk, JournalDesk)
    number = [one.kind for one in FORMS].index(kind) + 1
    desk = press(desk, f"{number}\n")
    assert isinstance(desk, FormDesk)
    return desk


def filled(path: Path, kind: str, *answers: str) -> ListDesk:
    """The form filled in, signed and written; the start page after it."""
    desk = form(path, kind)
    for answer in answers:
        desk = press(desk, f"{answer}\n")
        assert not desk.refused, desk.message
    desk = press(desk, "AB\n")
    assert "Is it so" in text(desk)
    desk = press(desk, "1\n")
    assert isinstance(desk, StartDesk), desk.message
    assert "Written into the journal" in desk.message
    return desk


@pytest.fixture(scope="module")
def read_before(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job of five surveys in which nothing moved, made once."""
    path = lay(tmp_path_factory.mktemp("job"))
    return with_past(path, before=datetime.fromisoformat("2031-05-04T02:00:00+00:00")).parent


@pytest.fixture
def path(tmp_path: Path, read_before: Path) -> Path:
    shutil.copytree(read_before, tmp_path / "job")
    return tmp_path / "job" / "heading.toml"


def test_nothing_is_written_before_the_last_yes(path: Path) -> None:
    files = sorted((path.parent / "logs").glob("*.jsonl"))
    desk = form(path, "note")
    desk = press(desk, "batteries changed\nAB\n")
    assert "batteries changed" in text(desk)
    assert "AB" in text(desk)
    desk = press(desk, "\n")
    assert sorted((path.parent / "logs").glob("*.jsonl")) == files, "Enter alone goes back"
    desk = press(desk, "~~~~")
    assert isinstance(desk, StartDesk)
    assert sorted((path.parent / "logs").glob("*.jsonl")) == files


def test_a_text_question_is_left_by_the_number_pad_where_nothing_was_typed(path: Path) -> None:
    desk = form(path, "note")
    assert "Esc or +: back" in text(desk)
    desk = press(desk, "+")
    assert isinstance(desk, JournalDesk)
    desk = press(form(path, "note"), "12\nAB\n0\n")
    assert "Who says so" in text(desk)
    desk = press(desk, "+")
    assert "Remark" in text(desk)
    desk = press(desk, "1+1")
    assert desk.field.text == "1+1", "within a text it is a sign like any other"
    assert "Esc or +" not in text(desk)


def test_the_reason_of_an_answer_is_left_by_the_number_pad(path: Path) -> None:
    before = StartDesk(job_at(path))
    desk = TextDesk(before, "Why it was a mistake", lambda why: before)
    assert press(desk, "+") is before


def test_one_question_back_keeps_the_answers_before_it(path: Path) -> None:
    desk = press(form(path, "anchor"), "1\n2\n")
    assert "What became of it" in text(desk)
    desk = press(desk, "0\n")
    assert "Anchor" in text(desk)
    desk = press(desk, "3\n")
    assert "Station: A" in text(desk)
    assert "Anchor: K" in text(desk)


def test_an_anchor_replaced_begins_new_segments(path: Path) -> None:
    before = job_at(path)
    filled(path, "anchor", "1", "1", "3", "2031-05-03 12:00", "bolt sheared off")
    (event,) = job_at(path).journals.anchors
    assert (event.station, event.anchor, event.event, event.note) == ("A", "L", "replaced", "bolt sheared off")
    assert event.written.by == "AB"
    walk = begin(path, Ticking(datetime.fromisoformat("2031-05-04T02:00:00+00:00")))
    book_calm(walk)
    rows = [row for row in job_at(path).history() if row.key == LR.key]
    assert [row.segment for row in rows][-2:] == [1, 2]
    assert {row.segment for row in before.history()} == {1}


def test_a_time_is_read_back_as_it_was_typed(path: Path) -> None:
    path.write_text(path.read_text().replace('units = "metric"', 'units = "metric"\ntime_zone = "Asia/Kathmandu"'))
    desk = press(form(path, "anchor"), "1\n1\n3\n2031-05-03 12:00\n")
    assert "2031-05-03 12:00, Asia/Kathmandu" in text(desk)


def test_a_chord_is_retired(path: Path) -> None:
    filled(path, "chord", "2", "1", "2031-05-04", "quite in the way")
    (event,) = job_at(path).journals.chords
    assert (event.station, event.chord, event.event, event.note) == ("A", "L-K", "retired", "quite in the way")


def test_a_station_is_renamed_and_its_readings_stay_its_own(path: Path) -> None:
    path.write_text(path.read_text().replace('name = "B"', 'name = "B1"'))
    assert job_at(path).questions()
    desk = press(form(path, "renamed"), "1\n")
    assert [item.text for item in desk.menu.items] == ["B1"], "A is a station of its own"
    filled(path, "renamed", "1", "1", "2031-05-04")
    job = job_at(path)
    assert not job.questions()
    assert {row.station for row in job.history()} == {"A", "B1"}


def test_two_stations_that_were_walked_stay_two_whatever_a_journal_says(path: Path) -> None:
    before = {(row.station, row.booked.label) for row in job_at(path).history()}
    path.write_text(path.read_text().replace('name = "B"', 'name = "B1"'))
    job = job_at(path)
    declare(job, "AB", [("renamed", {"old": "B", "new": "A", "at": "2031-05-04T00:00:00Z"})], Ticking())
    job = job_at(path)
    assert {(row.station, row.booked.label) for row in job.history()} == before
    assert any("nothing is taken over" in told for told in job.problems)
    assert any(question.chord == ("B", "L-R") for question in job.questions()), "it is still to be answered"


def test_no_station_can_be_renamed_where_none_is_missing(path: Path) -> None:
    desk = press(form(path, "renamed"), "1\n1\n2031-05-04\nAB\n1\n")
    assert "There is no old name" in desk.message


def test_a_baseline_counts_from_nil_again(path: Path) -> None:
    filled(path, "baseline", "after the bench", "2", "2031-05-02 00:00", "2", "bench taken")
    (epoch,) = job_at(path).journals.epochs
    assert (epoch.name, epoch.restarts, epoch.stations) == ("after the bench", True, frozenset({"A"}))
    rows = [row for row in job_at(path).history() if row.key == LR.key]
    assert [row.epoch for row in rows][-1] == "after the bench"


def test_a_certificate_sets_its_figures_right_from_then_on(path: Path) -> None:
    before = {row.booked.label: row.length for row in job_at(path).history() if row.key == LR.key}
    desk = form(path, "certificate")
    desk = press(desk, "1\nC-77\n")
    keys = [item.text for item in desk.menu.items]
    desk = press(desk, f"{keys.index('expansion') + 1}\n")
    assert "per degC" in text(desk)
    assert press(desk, "1.2e\n").refused
    for _ in "1.2e":
        desk.press("backspace", None)
    desk = press(desk, "0.0000172\n1\n2031-05-01\n\nit came late\nAB\n")
    assert "it came late" in text(desk)
    assert "AB" in text(desk), "the newest answers of a long form are shown"
    desk = press(desk, "1\n")
    assert isinstance(desk, StartDesk), desk.message
    (one,) = job_at(path).journals.corrections
    assert (one.key, one.value, one.certificate) == ("expansion", "0.0000172", "C-77")
    assert job_at(path).questions() == (), "from its date on another figure counts, and that was declared"
    after = {row.booked.label: row.length for row in job_at(path).history() if row.key == LR.key}
    changed = [label for label in before if before[label].value != after[label].value]
    assert changed == [label for label in before if label >= "2031-05-01"]


def test_a_figure_of_the_route_is_set_right_for_a_time(path: Path) -> None:
    desk = form(path, "correction")
    things = [item.text for item in desk.menu.items]
    assert "anchor A K" in things
    filled(path, "correction", str(things.index("anchor A K") + 1), "2", "6.10", "", "2031-05-02", "surveyed again")
    (one,) = job_at(path).journals.corrections
    assert one.thing == ("anchor", "A", "K")
    assert (one.key, one.value, one.since) == ("up", "6.10", None)
    assert one.until is not None


def test_care_events_and_remarks_are_written(path: Path) -> None:
    filled(path, "care", "dial battery", "2031-05-03", "")
    filled(path, "construction", "1", "2", "2031-05-03 14:30", "face round 12")
    filled(path, "construction", "3", "invert closed", "1", "2031-05-03 16:00", "")
    filled(path, "note", "visitors in the heading")
    journals = job_at(path).journals
    assert [one.what for one in journals.care] == ["dial battery"]
    assert [(one.event, one.station) for one in journals.happenings] == [("blast", "A"), ("invert closed", "")]
    assert [words for _, words in journals.notes] == ["visitors in the heading"]


@pytest.mark.parametrize("wrong", ["yesterday", "2031-13-01", "2031-05-04 25:00"])
def test_a_time_that_is_none_is_refused_and_stays_to_be_put_right(path: Path, wrong: str) -> None:
    desk = press(form(path, "care"), f"dial battery\n{wrong}\n")
    assert desk.refused
    assert desk.field.text == wrong


def test_who_was_told_is_booked_between_surveys(path: Path) -> None:
    walk = begin(path, Ticking(datetime.fromisoformat("2031-05-04T02:00:00+00:00")))
    answer_start(walk)
    book_chord(walk, "319", "28.10", "28.13", "28.11")
    walk.go(LR.again())
    book_chord(walk, "319", "28.10", "28.13", "28.11")
    walk.close()
    waiting = [role for call in job_at(path).open_calls() for role in call.untold]
    assert waiting
    filled(path, "call", "1", "CD", "2", "coming down", "2031-05-04 03:10")
    left = [role for call in job_at(path).open_calls() for role in call.untold]
    assert left == waiting[1:]
    told = [one for call in job_at(path).calls for one in call.told]
    assert [(one.person, one.means, one.entry.typed) for one in told] == [("CD", "by telephone", "coming down")]


def test_who_was_told_is_booked_as_told_now_by_the_number_pad(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It has no colon: what is offered, in the route's zone, is taken by Enter."""
    walk = begin(path, Ticking(datetime.fromisoformat("2031-05-04T02:00:00+00:00")))
    answer_start(walk)
    book_chord(walk, "319", "28.10", "28.13", "28.11")
    walk.close()
    zone = timezone(timedelta(hours=2))
    monkeypatch.setattr("fieldtui.tui.journal.system_clock", lambda: datetime(2031, 5, 4, 6, 31, tzinfo=zone))
    desk = press(form(path, "call"), "1\n7\n1\n\n")
    assert desk.field.text == "2031-05-04 04:31"
    press(desk, "\n5\n1\n")
    (told,) = [one for call in job_at(path).calls for one in call.told]
    assert told.told_at.startswith("2031-05-04T04:31")


def test_nobody_has_to_be_told_where_no_call_is_open(path: Path) -> None:
    desk = press(form(path, "call"), "1\n")
    assert "No such call is open" in desk.message
    assert "no call is open" in text(desk)


@pytest.mark.parametrize(("typed", "doubted"), [("2031-04-04 03:10", True), ("2031-05-04", False)])
def test_who_was_told_before_the_level_was_reached_is_asked_about(path: Path, typed: str, doubted: bool) -> None:
    walk = begin(path, Ticking(datetime.fromisoformat("2031-05-04T02:00:00+00:00")))
    answer_start(walk)
    book_chord(walk, "319", "28.10", "28.13", "28.11")
    walk.close()
    desk = press(form(path, "call"), f"1\nCD\n2\n\n{typed}\nAB\n")
    told = "▲ That is before the level was reached, on 2031-05-04. Is it meant so?"
    assert (told in text(desk)) is doubted


def struck(path: Path, wanted: str, *answers: str) -> ListDesk:
    """The form for striking out, with the newest survey's chord A L-R and the entry that is wanted chosen."""
    desk = press(form(path, "struck"), "1\n")
    groups = [item.text for item in desk.menu.items]
    desk = press(desk, f"{groups.index('A L-R') + 1}\n")
    entries = [item.text for item in desk.menu.items]
    desk = press(desk, f"{entries.index(wanted) + 1}\n")
    for answer in (*answers, "AB"):
        desk = press(desk, f"{answer}\n")
    return press(desk, "1\n")


def test_an_entry_of_a_closed_survey_is_struck_out_with_the_right_one(path: Path) -> None:
    desk = struck(path, "hole: 320", "321", "misheard")
    assert isinstance(desk, StartDesk), desk.message
    row = next(row for row in reversed(job_at(path).history()) if row.key == LR.key)
    assert row.booked.figures["hole"] == "321"
    assert [(one.entry.typed, one.reason, one.who) for one in row.booked.struck] == [("320", "misheard", "AB")]


def test_an_entry_of_an_open_survey_is_struck_out_in_the_walk_and_not_here(path: Path) -> None:
    walk = begin(path, Ticking(datetime.fromisoformat("2031-05-06T05:00:00+00:00")))
    answer_start(walk)
    book_chord(walk, "319", "24.34", "24.36", "24.35")
    walk.leave()
    desk = form(path, "struck")
    assert "one that is still open: strike it out in the walk, or close it first" in text(desk)
    assert walk.label not in [item.text.split(",")[0] for item in desk.menu.items]


def test_a_right_figure_that_cannot_be_is_refused_at_the_end(path: Path) -> None:
    desk = struck(path, "hole: 320", "777", "misheard")
    assert "holes 1 to 600" in desk.message


def test_a_declaration_is_taken_back_and_stays_to_be_seen(path: Path) -> None:
    filled(path, "chord", "2", "1", "2031-05-04", "")
    surveys = len(job_at(path).surveys)
    filled(path, "struck", str(surveys + 1), "1", "wrong chord")
    journals = job_at(path).journals
    assert journals.chords == []
    assert [one.reason for one in journals.taken_back] == ["wrong chord"]
    desk = press(form(path, "struck"), f"{surveys + 1}\n")
    assert not any("L-K" in item.text for item in desk.menu.items), "what was taken back is not offered again"


def test_two_journals_that_differ_are_settled_on_the_start_page(path: Path) -> None:
    struck(path, "hole: 320", "321", "misheard")
    aside = next(one for one in (path.parent / "logs").glob("*.jsonl") if "struck" in one.read_text())
    hidden = path.parent / aside.name
    shutil.move(aside, hidden)
    struck(path, "hole: 320", "322", "read wrong")
    shutil.move(hidden, aside)
    desk: ListDesk = StartDesk(job_at(path))
    place = next(n for n, item in enumerate(desk.menu.items, 1) if item.text.startswith("answer"))
    desk = press(desk, f"{place}\n")
    assert isinstance(desk, QuestionDesk)
    right = next(n for n, item in enumerate(desk.menu.items, 1) if "322" in item.text)
    desk = press(desk, f"{right}\nthe field book says so\nAB\n")
    assert isinstance(desk, StartDesk), desk.message
    assert not desk.job.questions()
    row = next(row for row in reversed(desk.job.history()) if row.key == LR.key)
    assert row.booked.figures["hole"] == "322"


def test_of_two_files_that_part_one_is_chosen_on_the_start_page(path: Path, tmp_path: Path) -> None:
    clock = Ticking(datetime.fromisoformat("2031-05-04T02:00:00+00:00"))
    walk = begin(path, clock)
    answer_start(walk)
    walk.leave()
    copy = tmp_path / "copy.jsonl"
    shutil.copy(walk.writer.path, copy)
    one = resume(path, clock)
    book_chord(one, "320", "12.30", "12.32", "12.31")
    one.leave()
    kept = walk.writer.path.rename(tmp_path / "kept.jsonl")
    shutil.copy(copy, walk.writer.path)
    two = resume(path, Ticking(clock.now + timedelta(hours=1)))
    two.note("another way")
    two.leave()
    shutil.move(kept, path.parent / "logs" / "other.jsonl")
    desk: ListDesk = StartDesk(job_at(path))
    assert not desk.job.unclosed
    place = next(n for n, item in enumerate(desk.menu.items, 1) if item.text.startswith("answer"))
    desk = press(desk, f"{place}\n")
    chosen = next(n for n, item in enumerate(desk.menu.items, 1) if item.text.startswith("other.jsonl"))
    desk = press(desk, f"{chosen}\nthe other is a copy\nAB\n")
    assert isinstance(desk, StartDesk), desk.message
    (survey,) = desk.job.unclosed
    assert survey.state.bookings[LR].was_read


def test_a_chord_that_is_gone_can_be_of_a_station_renamed(path: Path) -> None:
    path.write_text(path.read_text().replace('name = "B"', 'name = "B1"'))
    desk: ListDesk = StartDesk(job_at(path))
    place = next(n for n, item in enumerate(desk.menu.items, 1) if item.text.startswith("answer"))
    desk = press(desk, f"{place}\n2\n1\n2031-05-04\nAB\n1\n")
    assert isinstance(desk, StartDesk), desk.message
    assert not desk.job.questions()


def test_a_certificate_s_last_day_is_asked_for_as_a_day(path: Path) -> None:
    desk = press(form(path, "certificate"), "1\nC-78\n")
    keys = [item.text for item in desk.menu.items]
    desk = press(desk, f"{keys.index('certificate_until') + 1}\n")
    assert "its last day (as 2032-05-04)" in text(desk)
    assert "Type the day alone." in press(desk, "soon\n").message
    for _ in "soon":
        desk.press("backspace", None)
    press(desk, "2032-05-04\n1\n\n\nnew one\nAB\n1\n")
    (one,) = job_at(path).journals.corrections
    assert (one.key, one.value) == ("certificate_until", "2032-05-04")


def test_the_number_of_a_dial_is_asked_for_as_it_stands_there_and_not_in_mm(path: Path) -> None:
    desk = form(path, "correction")
    things = [item.text for item in desk.menu.items]
    desk = press(desk, f"{things.index('extensometer X1') + 1}\n")
    keys = [item.text for item in desk.menu.items]
    desk = press(desk, f"{keys.index('dial_serial') + 1}\n")
    assert "dial_serial is, as it stands on the dial" in text(desk)


@pytest.mark.parametrize(("now", "told"), [("2031-05-02T12:00:00+00:00", True), ("2031-05-05T12:00:00+00:00", False)])
def test_a_time_that_has_not_come_yet_is_told_before_it_is_written(
    path: Path, monkeypatch: pytest.MonkeyPatch, now: str, told: bool
) -> None:
    monkeypatch.setattr("fieldtui.tui.journal.system_clock", lambda: datetime.fromisoformat(now))
    desk = press(form(path, "anchor"), "1\n1\n3\n2031-05-04 07:30\n\nAB\n")
    assert "Is it so" in text(desk)
    assert ("▲ That is 43.5 h ahead of this computer's clock. Is it meant so?" in text(desk)) is told
    press(desk, "1\n")
    assert len(job_at(path).journals.anchors) == 1


@pytest.mark.parametrize(
    ("typed", "at"),
    [
        ("0340", "2031-05-04T03:40"),
        ("3.40", "2031-05-04T03:40"),
        ("3,40", "2031-05-04T03:40"),
        ("03:40", "2031-05-04T03:40"),
        ("1610", "2031-05-04T16:10"),  # by a watch that is ten minutes before the laptop
        ("1630", "2031-05-03T16:30"),
        ("2031-05-02-0340", "2031-05-02T03:40"),
        ("2031-05-02 7.30", "2031-05-02T07:30"),
        ("2031-05-02 07:30", "2031-05-02T07:30"),
        ("2031-05-02", "2031-05-02T00:00"),
    ],
)
def test_a_time_is_typed_by_the_number_pad_alone(path: Path, typed: str, at: str) -> None:
    job = job_at(path)
    zone = ZoneInfo(job.route.time_zone)
    now = datetime(2031, 5, 4, 16, 0, tzinfo=zone)
    told = read_time(moment(job, typed, clock=lambda: now)).astimezone(zone)
    assert f"{told:%Y-%m-%dT%H:%M}" == at


@pytest.mark.parametrize("typed", ["25.00", "7.60", "12", "3.4", "2031-13-01-0730", "+0730"])
def test_what_is_no_time_is_refused_in_the_journal(path: Path, typed: str) -> None:
    with pytest.raises(EntryRefused):
        moment(job_at(path), typed)


def test_a_time_of_day_alone_is_shown_with_its_day_before_it_is_written(path: Path) -> None:
    desk = press(form(path, "anchor"), "1\n1\n3\n0340\n\nAB\n")
    assert re.search(r"When \(.*\): \d{4}-\d\d-\d\d 03:40,", " ".join(text(desk).split()))
    press(desk, "1\n")
    assert len(job_at(path).journals.anchors) == 1


def test_what_was_said_of_another_number_is_taken_back_when_one_is_pasted(path: Path) -> None:
    desk = press(form(path, "anchor"), "99\n")
    assert desk.refused
    desk.paste("1")
    assert (desk.message, desk.refused, desk.field.text) == ("", False, "1")


def test_a_survey_booked_twice_is_struck_out_at_one_go(path: Path) -> None:
    job = job_at(path)
    twice = job.surveys[-1]
    desk = press(form(path, "struck"), "1\n")
    whole = next(n for n, item in enumerate(desk.menu.items, 1) if item.text.startswith("the whole survey"))
    desk = press(desk, f"{whole}\nbooked twice\nAB\n")
    assert "the whole survey: every reading in it" in text(desk)
    desk = press(desk, "1\n")
    assert isinstance(desk, StartDesk), desk.message
    after = job_at(path)
    assert {one.survey for one in job.readings()} - {one.survey for one in after.readings()} == {twice.id}
    survey = after.survey(twice.id)
    assert survey is not None
    assert not any(one.was_read for one in survey.state.bookings.values() if not one.target.is_zero)
    assert {struck.reason for one in survey.state.bookings.values() for struck in one.struck} == {"booked twice"}
    assert after.problems == ()
    assert len(after.journals.amendments) == len([one for one in twice.state.bookings.values() if one.slots])


def test_a_whole_survey_struck_out_by_mistake_comes_back_at_one_go(path: Path) -> None:
    before = {one.survey for one in job_at(path).readings()}
    desk = press(form(path, "struck"), "1\n")
    whole = next(n for n, item in enumerate(desk.menu.items, 1) if item.text.startswith("the whole survey"))
    press(desk, f"{whole}\nbooked twice\nAB\n1\n")
    job = job_at(path)
    assert {one.survey for one in job.readings()} != before
    desk = press(form(path, "struck"), f"{len(job.surveys) + 1}\n")
    together, *single = [item.text for item in desk.menu.items]
    assert together.startswith(f"all {len(single)} that were written together, ")
    assert f"struck: {job.labels[job.surveys[-1].id]}, B L-R, accepted; booked twice, AB" in single
    press(desk, "1\nit was the other one\nCD\n1\n")
    after = job_at(path)
    assert {one.survey for one in after.readings()} == before
    assert after.journals.amendments == []
    assert {one.reason for one in after.journals.taken_back} == {"it was the other one"}


def test_what_was_said_of_a_survey_and_struck_out_is_named_where_it_can_be_taken_back(path: Path) -> None:
    desk = press(form(path, "struck"), "1\n")
    of_all = next(
        n for n, item in enumerate(desk.menu.items, 1) if item.text.startswith("what was said of the whole survey")
    )
    desk = press(desk, f"{of_all}\n")
    reader = next(n for n, item in enumerate(desk.menu.items, 1) if item.text.startswith("reader"))
    press(desk, f"{reader}\n\nit was another one\nCD\n1\n")
    job = job_at(path)
    desk = press(form(path, "struck"), f"{len(job.surveys) + 1}\n")
    (words,) = [item.text for item in desk.menu.items]
    assert f"struck: {job.labels[job.surveys[-1].id]}, reader AB" in words


def test_of_a_long_form_all_is_shown_once_more_before_it_is_written(read_before: Path) -> None:
    asks = [Ask(str(number), f"question {number}") for number in range(9)]
    long = Form("event", "a long one", lambda job, given: iter(asks), lambda job, given: {})
    answers = (*((ask.key, f"answer {ask.key}") for ask in asks), ("by", "AB"))
    job = job_at(read_before / "heading.toml")
    last = FormDesk(job, long, answers, lambda told: StartDesk(job, told))
    assert all(f"question {number}: answer {number}" in last.about for number in range(9))
