"""The start page: what waits, what has to be answered, and nothing closed by accident."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from fieldtui.job import job_without_route, load_job, logs_folder
from fieldtui.plain.start import start_plain
from fieldtui.route import RouteRefused, load_route
from fieldtui.settings import Settings
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.help_desk import PagesDesk
from fieldtui.tui.lines import text_of
from fieldtui.tui.list_desk import ListDesk, draw_list
from fieldtui.tui.menu import Item
from fieldtui.tui.progress import Work
from fieldtui.tui.questions import QuestionDesk, TextDesk
from fieldtui.tui.start import RoutesDesk, StartDesk, open_route
from fieldtui.tui.worked_out import WorkingOut
from harness.jobs import answer_start, begin, lay, with_past


def start(path: Path) -> StartDesk:
    route = load_route(path)
    return StartDesk(load_job(route, logs_folder(route)))


def press(desk: ListDesk, typed: str) -> ListDesk:
    for key in typed:
        desk.press("enter" if key == "\n" else key, None if key == "\n" else key)
        while desk.done and isinstance(desk.next, ListDesk):
            desk = desk.next
    return desk


def text(desk: ListDesk) -> str:
    return " ".join(text_of(draw_list(desk, 80, 24)).split())


def test_a_folder_of_logs_that_is_named_and_not_there_is_said_to_be_new(tmp_path: Path) -> None:
    route = load_route(lay(tmp_path))
    named = tmp_path / "lgos"
    assert "There is no folder" in text(StartDesk(load_job(route, named)))
    told: list[str] = []

    def gone(prompt: str) -> str:
        raise EOFError

    start_plain(load_job(route, named), gone, told.append)
    assert any("lgos yet: it is new" in line for line in told)
    assert "There is no folder" not in text(StartDesk(load_job(route, named))), "the survey was begun in it"
    assert "There is no folder" not in text(start(tmp_path / "heading.toml")), "the usual one is made unasked"


def test_what_is_wrong_in_the_settings_is_said_once_however_often_the_page_is_come_back_to(tmp_path: Path) -> None:
    lay(tmp_path)
    desk = RoutesDesk(tmp_path)
    for _ in range(2):
        desk.take(Settings(problems=("no such theme",)))
    assert text(desk).count("no such theme") == 1


def asked_whether_to_close(folder: Path) -> ListDesk:
    """The page that asks once more, of a survey that was begun and left."""
    path = lay(folder)
    walk = begin(path)
    answer_start(walk)
    walk.leave()
    return press(start(path), "2\n")


def test_esc_goes_back_from_the_question_whether_to_close(tmp_path: Path) -> None:
    desk = asked_whether_to_close(tmp_path)
    assert "Close survey" in text(desk)
    desk.press("escape", None)
    assert isinstance(desk.next, StartDesk)


def test_closing_as_it_is_asks_once_more_and_enter_alone_goes_back(tmp_path: Path) -> None:
    desk = asked_whether_to_close(tmp_path)
    assert "Are you sure" in text(desk)
    desk = press(desk, "\n")
    assert isinstance(desk, StartDesk)
    assert not desk.job.surveys[-1].state.closed
    desk = press(desk, "2\n2\n")
    assert isinstance(desk, StartDesk)
    assert desk.job.surveys[-1].state.closed
    assert "Code for the field book" in text(desk)


def test_a_tape_that_is_not_what_it_was_is_asked_about_and_answered(tmp_path: Path) -> None:
    path = with_past(lay(tmp_path))
    path.write_text(path.read_text().replace("expansion = 11.6e-6", "expansion = 11.2e-6"))
    desk = start(path)
    assert "is it a new thing, or was it a mistake" in text(desk)
    place = next(n for n, item in enumerate(desk.menu.items, 1) if item.text.startswith("answer"))
    asked = press(desk, f"{place}\n")
    assert isinstance(asked, QuestionDesk)
    why = press(asked, "2\n")
    assert isinstance(why, TextDesk)
    refused = press(why, "\n")
    assert refused.refused
    who = press(why, "certificate read wrongly\n")
    assert isinstance(who, TextDesk)
    done = press(who, "AB\n")
    assert isinstance(done, StartDesk)
    assert "journal" in text(done)
    assert "is it a new thing" not in text(done)


def spoilt(tmp_path: Path) -> Path:
    """A route with an open survey, and a mistake made in its file since."""
    path = lay(tmp_path)
    walk = begin(path)
    answer_start(walk)
    walk.leave()
    path.write_text(path.read_text().replace("pitch = 25.0", "pitch = -25.0"))
    return path


def test_with_a_spoilt_route_file_what_is_open_goes_on_and_nothing_is_begun(tmp_path: Path) -> None:
    path = spoilt(tmp_path)
    with pytest.raises(RouteRefused) as refused:
        load_route(path)
    job = job_without_route(tmp_path / "logs", refused.value)
    assert job is not None
    desk = StartDesk(job)
    assert [item.text.split()[0] for item in desk.menu.items] == ["resume", "close"]
    assert str(tmp_path / "logs") in text(desk)
    assert "pitch" in text(desk)
    assert "pitch" in text(open_route(job)), "still said after a look at something else"


def test_the_page_of_routes_leads_to_what_is_open_where_the_file_is_spoilt(tmp_path: Path) -> None:
    spoilt(tmp_path)
    desk = press(RoutesDesk(tmp_path), "1\n")
    assert isinstance(desk, StartDesk)
    assert "pitch" in text(desk)


def test_a_survey_resumed_after_the_route_was_edited_says_which_route_it_has(tmp_path: Path) -> None:
    path = lay(tmp_path)
    walk = begin(path)
    answer_start(walk)
    walk.leave()
    same = press(start(path), "1\n").next
    assert isinstance(same, WalkDesk)
    assert same.message == ""
    same.walk.leave()
    path.write_text(path.read_text().replace("Loose block", "Loose slab"))
    desk = press(start(path), "1\n").next
    assert isinstance(desk, WalkDesk)
    assert "goes on with the route as it was" in desk.message


def test_what_does_not_fit_on_the_page_is_counted_and_turned_to() -> None:
    said = [f"line {number} of what has to be said" for number in range(20)]
    desk = ListDesk("Route", said, (Item("start", lambda: None),), "What now")
    seen: set[str] = set()
    for _ in range(4):
        page = text(desk)
        assert "lines more: + turns to the next" in page
        seen |= {line for line in said if line in page}
        desk = press(desk, "+")
    assert seen == set(said)
    assert "lines more" not in " ".join(text_of(draw_list(desk, 80, 40)).split()), "it fits on a larger screen"


def test_with_many_readings_the_page_stands_before_they_are_gone_through(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = with_past(lay(tmp_path))
    whole = start(path)
    assert whole.work() is None, "few readings are gone through at once"
    monkeypatch.setattr("fieldtui.job.job.AT_ONCE", 0)
    monkeypatch.setattr("fieldtui.tui.start.work_out", refuse)
    desk = start(path)
    assert "Working out what has to be read" in text(desk)
    assert desk.menu.items[0].text == whole.menu.items[0].text, "a survey can be chosen already"
    monkeypatch.undo()
    monkeypatch.setattr("fieldtui.job.job.AT_ONCE", 0)
    desk = start(path)
    work = desk.work()
    assert work is not None
    assert desk.work() is None, "given out once"
    work()
    assert desk.about == whole.about


def test_the_page_says_how_far_it_is_and_stops_when_it_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = with_past(lay(tmp_path))
    monkeypatch.setattr("fieldtui.job.job.AT_ONCE", 0)
    desk = start(path)
    work = desk.work()
    assert isinstance(work, Work)
    due = next(place for place, item in enumerate(desk.menu.items, 1) if item.text.startswith("what has to be read"))
    told: list[str] = []
    steps = WorkingOut.steps

    def leave_in_the_second(working: WorkingOut) -> Iterator[None]:
        for number, _ in enumerate(steps(working)):
            if number == 1:
                told.append(text(desk))
                press(desk, f"{due}\n")
                told.append(desk.message)
                work.stop()
            yield

    monkeypatch.setattr(WorkingOut, "steps", leave_in_the_second)
    work()
    assert work.of > 2
    assert work.done == 2
    assert f"told: 1 of {work.of} chords" in told[0]
    assert "still being worked out: 1 of" in told[1]
    assert "Working out what has to be read" in text(desk)


def test_what_the_help_has_stopped_is_worked_out_when_it_leads_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = with_past(lay(tmp_path))
    whole = start(path)
    monkeypatch.setattr("fieldtui.job.job.AT_ONCE", 0)
    desk = start(path)
    work = desk.work()
    assert isinstance(work, Work)
    desk.press("?", "?")
    help_ = desk.next
    assert isinstance(help_, PagesDesk)
    work.stop()  # as the page does with what it leaves
    work()
    help_.press("0", "0")
    assert help_.next is desk
    again = desk.work()
    assert again is not None
    again()
    assert desk.about == whole.about


def refuse(*asked: object) -> None:
    raise AssertionError("every reading was gone through")
