"""A log that has lost a record: what is lost is told with its place, and asked for again."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldtui.job import Job, elsewhere, load_job, logs_folder, parting, saved_text
from fieldtui.log import LogWriter
from fieldtui.log.gather import gather
from fieldtui.route import load_route
from fieldtui.survey import Target, frame_target
from fieldtui.survey.words import prompt
from harness.jobs import Ticking, answer_start, begin, book_chord, lay, resume

LR, LK = Target("A", "L-R"), Target("A", "L-K")


def job_of(path: Path) -> Job:
    route = load_route(path)
    return load_job(route, logs_folder(route))


def spoil(path: Path, **wanted: str) -> int:
    """One byte of the first record that holds these data becomes another; the number of the record."""
    (log,) = sorted((path.parent / "logs").glob("*.jsonl"))
    lines = log.read_bytes().split(b"\n")
    place = next(n for n, text in enumerate(lines) if all(f'"{k}":"{v}"'.encode() in text for k, v in wanted.items()))
    lines[place] = lines[place].replace(b'"typed":"', b'"typed":"9', 1)
    log.write_bytes(b"\n".join(lines))
    return place


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Two chords read and accepted, the survey left open."""
    path = lay(tmp_path)
    walk = begin(path)
    answer_start(walk)
    book_chord(walk, "320", "12.30", "12.32", "12.31")
    book_chord(walk, "240", "12.30", "12.32", "12.31")
    walk.leave()
    return path


def test_a_figure_that_was_lost_is_asked_for_again_at_once(path: Path):
    spoil(path, chord="L-R", slot="dial_2")
    walk = resume(path)
    assert LR in walk.missing
    assert (walk.step.kind, walk.step.what, walk.step.target) == ("figure", "dial_2", LR)
    walk.book("12.32")
    assert (walk.step.kind, walk.step.target) == ("result", LR)
    walk.accept()
    assert LR not in walk.missing
    assert walk.step.what == "B"


def test_what_cannot_be_read_again_is_booked_as_not_read_or_left_for_the_end(path: Path):
    spoil(path, chord="L-R", slot="dial_2")
    walk = resume(path)
    walk.go(Target("B", "L-R"))
    assert walk.step.what == "B"
    walk.go_to_end()
    assert walk.step.kind == "end"
    assert walk.missing[0] == LR
    walk.unread(LR, "unsafe")
    assert LR not in walk.missing


def test_another_whole_reading_of_the_chord_is_enough(path: Path):
    walk = resume(path)
    walk.go(LR.again())
    book_chord(walk, "320", "12.30", "12.32", "12.31")
    walk.leave()
    spoil(path, chord="L-R", slot="dial_2")
    walk = resume(path)
    assert LR not in walk.missing
    assert walk.step.what == "B"


def test_a_frame_that_lost_a_figure_proves_nothing(tmp_path: Path):
    path = lay(tmp_path, control=True)
    walk = begin(path)
    answer_start(walk)
    for typed in ("199", "18.40", "18.41", "18.40", "12.0", ""):
        walk.book(typed)
    book_chord(walk, "320", "12.30", "12.32", "12.31")
    walk.leave()
    spoil(path, chord="frame", slot="temperature")
    assert resume(path).step.target == frame_target("start")


def test_the_damage_is_told_with_its_place_and_what_to_do(path: Path):
    number = spoil(path, chord="L-R", slot="dial_2")
    (log,) = (path.parent / "logs").glob("*.jsonl")
    before = log.read_bytes().split(b"\n")[:number]
    first = sum(len(line) + 1 for line in before)
    (problem,) = job_of(path).problems
    assert f"{log.name}, record {number}, bytes {first} to " in problem
    assert "Resume the survey: what was lost is asked for again." in problem
    assert f"fieldtui verify {log}" in problem


def test_of_a_closed_survey_it_is_not_said_that_it_can_be_resumed(path: Path):
    walk = resume(path)
    walk.close()
    spoil(path, chord="L-R", slot="dial_2")
    (problem,) = job_of(path).problems
    assert "esume" not in problem
    assert "fieldtui gather" in problem


def test_after_damage_it_is_not_said_that_nothing_is_booked(path: Path):
    spoil(path, chord="L-R", slot="dial_2")
    assert saved_text(resume(path)) == "all entries saved"


def test_of_a_survey_just_begun_it_is_said_that_nothing_is_booked(tmp_path: Path):
    assert saved_text(begin(lay(tmp_path))) == "nothing booked yet"


@pytest.mark.parametrize(("what", "serial"), [("tape", "T1"), ("extensometer", "X1")])
def test_an_instrument_whose_record_was_lost_is_asked_for_again_also_for_what_was_booked_before(
    path: Path, what: str, serial: str
):
    before = [row.length for row in job_of(path).history()]
    spoil(path, what=what, typed=serial)
    job = job_of(path)
    assert any(f"the record that named the {what} is lost, and " in problem for problem in job.problems)
    assert [row.length for row in job.history()] == [None, None]
    walk = resume(path)
    assert (walk.step.kind, walk.step.what) == ("say", what)
    assert "lost; also of " in prompt(walk.route, walk.step)
    walk.book("1")
    assert walk.step.what == "B"
    walk.leave()
    job = job_of(path)
    assert [row.length for row in job.history()] == before
    assert not any("is lost" in problem for problem in job.problems)


def test_an_answer_that_was_given_for_what_came_after_is_not_taken_for_what_came_before(path: Path):
    """The first answer is lost and a later one is there: which of them the bookings before had is not known."""
    walk = resume(path)
    walk.say("tape", "T1")
    walk.leave()
    spoil(path, what="tape", typed="T1")
    assert resume(path).step.what == "B"
    assert [row.length for row in job_of(path).history()] == [None, None]
    assert any("2 bookings have no length" in problem for problem in job_of(path).problems)


def test_what_is_no_log_is_told_and_the_survey_goes_on(path: Path):
    (path.parent / "logs" / "20310504T000000Z-gone.jsonl").symlink_to(path.parent / "nowhere")
    (path.parent / "logs" / "20310504T000000Z-folder.jsonl").mkdir()
    walk = resume(path)
    assert walk.step.what == "B"
    walk.close()
    assert [problem.split(": ", 1)[1].split(".")[0] for problem in job_of(path).problems] == [
        "This is a folder and no log",
        "This is a link to a file that is not there",
    ]
    begin(path).leave()


def test_a_log_that_has_lost_its_first_record_is_told_and_counts_again_with_a_copy(path: Path):
    (log,) = sorted((path.parent / "logs").glob("*.jsonl"))
    content = log.read_bytes()
    log.write_bytes(content.replace(b'"format":1', b'"format":2', 1))
    job = job_of(path)
    assert job.surveys == ()
    assert any("which survey it is" in told and log.name in told for told in job.problems)
    early = b"".join(content.splitlines(keepends=True)[:3])
    (log.parent / "copy.jsonl").write_bytes(early)
    (survey,) = job_of(path).surveys
    assert {LR, LK} <= set(survey.state.bookings)
    assert not any("which survey it is" in told for told in job_of(path).problems)


def test_where_a_survey_goes_on_in_another_folder_that_disk_is_watched(path: Path, tmp_path: Path):
    walk = resume(path)
    walk.watch.space = lambda folder: 0 if folder == path.parent / "logs" else 10**9
    other = tmp_path / "other"
    other.mkdir()
    walk.continue_in(other)
    walk.note("going on")
    assert walk.conditions == ()
    walk.leave()


def test_what_is_booked_in_the_old_file_after_a_survey_went_on_in_another_is_told_to_count_nowhere(
    path: Path, tmp_path: Path
):
    walk = resume(path)
    old = walk.writer.path
    walk.unsaved = (("note", {"text": "on its way when the disk failed"}),)
    other = tmp_path / "other"
    other.mkdir()
    walk.continue_in(other)
    walk.note("only in the other")
    assert f"fieldtui gather {old.parent} {other}" in elsewhere(walk)
    assert "gather" in parting(walk)
    walk.leave()
    with LogWriter.reopen(old, clock=Ticking(), identity=None) as writer:
        writer.append("note", {"text": "on its way when the disk failed"})
    gathered = gather([old.parent, other], tmp_path / "all")
    assert gathered.beyond == (), "the entry that was on its way is in the file that goes on"
    assert not gathered.needs_attention
    with LogWriter.reopen(old, clock=Ticking(), identity=None) as writer:
        writer.append("note", {"text": "after, in the old file"})
    gathered = gather([old.parent, other], tmp_path / "again")
    assert gathered.needs_attention
    (past,) = gathered.beyond
    assert [record.data["text"] for record in past.entries] == ["after, in the old file"]
    route = load_route(path)
    told = [line for line in load_job(route, tmp_path / "again").problems if "counts nowhere" in line]
    assert len(told) == 1
    assert "one entry stands" in told[0]


def test_of_a_survey_in_its_own_folder_nothing_of_the_kind_is_said(path: Path):
    walk = resume(path)
    assert elsewhere(walk) == ""
    assert "gather" not in parting(walk)
    walk.leave()
