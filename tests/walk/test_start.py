"""The start page: what waits, what has to be answered, and nothing closed by accident."""

from __future__ import annotations

from pathlib import Path

from fieldtui.job import load_job, logs_folder
from fieldtui.route import load_route
from fieldtui.tui.lines import text_of
from fieldtui.tui.list_desk import ListDesk, draw_list
from fieldtui.tui.questions import QuestionDesk, TextDesk
from fieldtui.tui.start import StartDesk
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


def test_closing_as_it_is_asks_once_more_and_enter_alone_goes_back(tmp_path: Path) -> None:
    path = lay(tmp_path)
    walk = begin(path)
    answer_start(walk)
    walk.leave()
    desk = press(start(path), "2\n")
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
