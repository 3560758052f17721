"""Clock, disk and damaged logs: said early and in words, and there is always a way on."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from fieldtui.job import Walk, before_start, load_job, logs_folder
from fieldtui.job.conditions import Watch
from fieldtui.plain.start import start_plain
from fieldtui.route import load_route
from fieldtui.survey import EntryRefused, Target, time_of_day
from fieldtui.tui import deeds
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.lines import text_of
from fieldtui.tui.start import StartDesk, draw_list
from harness.jobs import Ticking, answer_start, begin, book_calm, lay, resume

NOON = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)


@pytest.mark.parametrize(("minutes", "word"), [(3, "forward"), (-3, "back"), (60 * 24 * 365, "forward")])
def test_a_clock_that_jumps_is_said(tmp_path: Path, minutes: int, word: str) -> None:
    watch = Watch(tmp_path, NOON, ticks=lambda: 5.0)
    told = watch.told(NOON + timedelta(minutes=minutes))
    assert word in told[0]
    assert "set the time right" in told[0]
    assert "+" not in told[0], "the key of the list is another one where the settings say so"


def test_a_clock_that_runs_with_the_time_is_not_said(tmp_path: Path) -> None:
    seconds = [0.0]
    watch = Watch(tmp_path, NOON, ticks=lambda: seconds[0])
    seconds[0] = 7200
    assert watch.told(NOON + timedelta(hours=2, minutes=1)) == ()


def test_little_space_is_said_before_it_is_none(tmp_path: Path) -> None:
    assert "3.0 MB are left" in Watch(tmp_path, NOON, lambda: 0.0, lambda _: 3_000_000).told(NOON)[0]
    assert Watch(tmp_path, NOON, lambda: 0.0, lambda _: 50_000_000).told(NOON) == ()


def test_a_disk_that_does_not_answer_is_said(tmp_path: Path) -> None:
    def pulled(_: Path) -> int:
        raise OSError(5, "Input/output error")

    assert "does not answer" in Watch(tmp_path, NOON, lambda: 0.0, pulled).told(NOON)[0]


def test_conditions_stand_on_the_screen_and_in_nobodys_way(tmp_path: Path) -> None:
    walk = begin(lay(tmp_path))
    walk.watch = Watch(tmp_path, walk.clock(), lambda: 0.0, lambda _: 3_000_000)
    desk = WalkDesk(walk)
    answer_start(walk)
    desk.to_step()
    assert "MB are left" in text_of(draw_walk(desk, 80, 24))
    assert walk.step.kind == "arrive"


def test_little_space_hides_nothing_of_what_is_to_be_done_at_the_prompt(tmp_path: Path) -> None:
    walk = begin(lay(tmp_path))
    walk.watch = Watch(tmp_path, walk.clock(), lambda: 0.0, lambda _: 3_000_000)
    desk = WalkDesk(walk)
    answer_start(walk)
    for typed in ("", "320", "12.30"):
        walk.book(typed)
    desk.to_step()
    for size in ((60, 20), (80, 24)):
        told = " ".join(text_of(draw_walk(desk, *size)).split())
        assert "MB are left" in told
        assert "Slacken and tension again before this repeat." in told


def test_a_clock_behind_the_last_log_is_said_before_the_start(tmp_path: Path) -> None:
    path = lay(tmp_path)
    walk = begin(path)
    walk.leave()
    route = load_route(path)
    job = load_job(route, logs_folder(route))
    assert "Set the clock before you begin" in before_start(job.folder, job.logs.logs, NOON - timedelta(days=400))[0]
    assert before_start(job.folder, job.logs.logs, NOON) == ()


def test_a_network_disk_is_said_before_the_start(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("fieldtui.job.conditions.disk_warning", lambda _: "This folder lies on a network disk.")
    assert "network disk" in before_start(tmp_path, (), NOON)[0]


@pytest.mark.parametrize(
    ("typed", "hours"), [("14:00", 2), ("1400", 2), ("2.00", -10), ("23,30", 11.5), ("00:30", -11.5), ("1:00", -11)]
)
def test_a_time_of_day_is_the_nearest_one(typed: str, hours: float) -> None:
    assert time_of_day(typed, NOON) - NOON == timedelta(hours=hours)


@pytest.mark.parametrize("typed", ["", "24:00", "12:60", "noon", "12", "12:3", "-1:00"])
def test_what_is_no_time_of_day_is_refused(typed: str) -> None:
    with pytest.raises(EntryRefused):
        time_of_day(typed, NOON)


def test_one_entry_sets_all_times_of_the_survey_right(tmp_path: Path) -> None:
    path = lay(tmp_path)
    clock = Ticking(NOON)
    desk = WalkDesk(begin(path, clock))
    answer_start(desk.walk)
    desk.walk.book("")
    desk.walk.book("320")
    before = desk.walk.state.bookings[Target("A", "L-R")].slots["hole"].read_at
    deeds.clock(desk)
    desk.paste("14:30")
    desk.press("enter", None)
    desk.walk.book("12.3")
    booking = desk.walk.state.bookings[Target("A", "L-R")]
    moved = booking.slots["hole"].read_at - before
    assert timedelta(hours=2, minutes=29) < moved < timedelta(hours=2, minutes=31)
    assert booking.slots["dial_1"].read_at > booking.slots["hole"].read_at
    desk.walk.leave()
    assert resume(path).state == desk.walk.state


def damaged(path: Path) -> Path:
    """A survey broken off after the hole, one byte of whose log was then altered."""
    walk = begin(path)
    answer_start(walk)
    walk.book("")
    walk.book("320")
    walk.leave()
    content = walk.writer.path.read_bytes()
    at = content.index(b'"typed":"AB"') + 10
    walk.writer.path.write_bytes(content[:at] + b"X" + content[at + 1 :])
    return walk.writer.path


def test_a_damaged_log_is_told_and_the_survey_goes_on_in_a_new_one(tmp_path: Path) -> None:
    path = lay(tmp_path)
    log = damaged(path)
    content = log.read_bytes()
    route = load_route(path)
    job = load_job(route, logs_folder(route))
    assert log.name in text_of(draw_list(StartDesk(job), 80, 24))
    walk = Walk.resume(job, job.unclosed[0], clock=Ticking())
    assert walk.writer.path != log
    assert log.read_bytes() == content
    # what the altered record said is lost, and asked for again; what stands after it is not
    assert walk.step.what == "reader"
    walk.book("AB")
    assert walk.state.bookings[Target("A", "L-R")].hole == 320
    assert walk.step.what == "dial_1"
    walk.leave()
    assert len(load_job(route, logs_folder(route)).surveys) == 1
    again = resume(path)
    assert again.state == walk.state


def test_a_torn_log_is_taken_up_where_it_is_whole(tmp_path: Path) -> None:
    path = lay(tmp_path)
    walk = begin(path)
    answer_start(walk)
    walk.book("")
    walk.book("320")
    before = walk.state
    walk.book("12.3")
    walk.leave()
    content = walk.writer.path.read_bytes()
    walk.writer.path.write_bytes(content[:-20])
    again = resume(path)
    assert again.state == before
    assert again.step.what == "dial_1"


def test_a_closed_log_of_which_the_end_is_missing_is_not_to_be_resumed(tmp_path: Path) -> None:
    """Half copied, say; the survey after it has named its last entry."""
    path = lay(tmp_path)
    book_calm(first := begin(path))
    begin(path).leave()
    content = first.writer.path.read_bytes()
    first.writer.path.write_bytes(content[:-20])
    job = load_job(load_route(path), tmp_path / "logs")
    (told,) = before_start(job.folder, job.logs.logs, NOON + timedelta(days=400))
    assert "its end is missing" in told
    assert "Resume" not in told


def test_a_folder_that_takes_no_log_is_told_on_the_start_page(tmp_path: Path) -> None:
    path = lay(tmp_path)
    route = load_route(path)
    desk = StartDesk(load_job(route, logs_folder(route)))
    (tmp_path / "logs").write_text("in the way")
    desk.press("enter", None)
    assert desk.refused
    assert not desk.done
    assert "logs" in desk.message


def torn(path: Path) -> Path:
    """A survey whose last entry, a dial, was on its way to the disk when the power went."""
    walk = begin(path)
    answer_start(walk)
    walk.book("")
    walk.book("320")
    walk.book("12.3")
    walk.leave()
    content = walk.writer.path.read_bytes()
    walk.writer.path.write_bytes(content[:-20])
    return walk.writer.path


def test_an_entry_that_broke_off_is_said_on_both_start_pages_and_no_more_once_it_is_healed(tmp_path: Path) -> None:
    path = lay(tmp_path)
    torn(path)
    route = load_route(path)
    job = load_job(route, logs_folder(route))
    assert "the last entry broke off" in " ".join(text_of(draw_list(StartDesk(job), 80, 24)).split())
    lines: list[str] = []
    start_plain(job, gone, lines.append)
    assert any("the last entry broke off" in line and "asked for again" in line for line in lines)
    resume(path).leave()
    assert before_start(job.folder, load_job(route, logs_folder(route)).logs.logs, NOON) == ()


def gone(_: str) -> str:
    raise EOFError


def test_a_survey_in_the_hands_of_another_program_is_not_offered_to_be_closed(tmp_path: Path) -> None:
    path = lay(tmp_path)
    held = begin(path)
    route = load_route(path)
    job = load_job(route, logs_folder(route))
    page = text_of(draw_list(StartDesk(job), 80, 24))
    lines: list[str] = []
    start_plain(job, gone, lines.append)
    for told in (page, "\n".join(lines)):
        assert "open in another program" in told
        assert "as it is" not in told
    held.leave()
    assert "as it is" in text_of(draw_list(StartDesk(load_job(route, logs_folder(route))), 80, 24))
