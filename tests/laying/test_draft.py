"""What was answered is kept as a draft: a kill loses the text being typed and nothing else."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldtui.errors import FieldError
from fieldtui.laying import draft as drafts
from fieldtui.laying.desk import LayDesk, WriteDesk
from fieldtui.laying.draft import Draft, draft_path, keep, kept
from fieldtui.laying.opening import DraftDesk, open_laying
from harness.laying import DRIFT, answer, lay_out, press


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "drift.toml"


def test_every_answer_is_on_the_disk_before_the_next_question(path: Path) -> None:
    desk = open_laying(path)
    count = 0
    while isinstance(desk, LayDesk):
        desk = press(desk, DRIFT.get(desk.ask.key, ""))
        count += 1
        found = kept(path)
        assert found is not None
        assert len(found.answers) == count


def test_gone_on_with_at_the_very_question(path: Path) -> None:
    lay_out(path, DRIFT, "group0.first")
    again = open_laying(path)
    assert isinstance(again, DraftDesk)
    assert "answers was left here" in again.about[1]
    desk = press(again, "1")
    assert isinstance(desk, LayDesk)
    assert desk.ask.key == "group0.first"
    assert isinstance(answer(desk, DRIFT), WriteDesk)


def test_begun_anew(path: Path) -> None:
    lay_out(path, DRIFT, "group0.first")
    desk = press(open_laying(path), "2")
    assert isinstance(desk, LayDesk)
    assert (desk.ask.key, desk.field.text) == ("name", "")
    assert kept(path) == Draft()


def test_esc_goes_back_as_far_as_one_likes_and_the_answers_stand_there(path: Path) -> None:
    desk = lay_out(path, DRIFT, "tape.0.holes")
    for key in ("tape.0.first_hole_distance", "tape.0.first_hole", "tape.0.pitch", "tape.0.serial"):
        desk.press("escape", None)
        desk = desk.next
        assert isinstance(desk, LayDesk)
        assert desk.ask.key == key
    assert desk.field.text == "T-1"
    desk = press(press(desk, "T-2"), "")
    assert isinstance(desk, LayDesk)
    assert desk.plan.given["tape.0.serial"] == "T-2"
    assert desk.plan.given["tape.0.pitch"] == "25"


def test_a_choice_made_before_is_marked(path: Path) -> None:
    desk = lay_out(path, {**DRIFT, "units": "2"}, "time_zone")
    desk.press("escape", None)
    assert isinstance(desk.next, LayDesk)
    assert desk.next.menu.selected == 1


def test_esc_on_the_first_question_leaves(path: Path) -> None:
    desk = open_laying(path)
    desk.press("escape", None)
    assert desk.done
    assert desk.next is None


def test_f10_leaves_anywhere_and_keeps_the_draft(path: Path) -> None:
    desk = lay_out(path, DRIFT, "group0.width")
    desk.press("f10", None)
    assert (desk.done, desk.next) == (True, None)
    assert kept(path) is not None


def test_the_draft_is_gone_once_the_route_is_written(path: Path) -> None:
    press(lay_out(path), "1")
    assert sorted(one.name for one in path.parent.iterdir()) == [path.name]


@pytest.mark.parametrize("text", ["", "{", "[]", '{"draft": 2, "answers": [], "earlier": {}}', '{"draft": 1}'])
def test_a_draft_that_cannot_be_read_is_named_and_left_alone(path: Path, text: str) -> None:
    draft_path(path).write_text(text, encoding="utf-8")
    with pytest.raises(FieldError, match="cannot be read"):
        open_laying(path)
    assert draft_path(path).read_text(encoding="utf-8") == text


def test_a_disk_that_is_full_is_said_and_the_laying_goes_on(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    desk = lay_out(path, DRIFT, "time_zone")

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(drafts.os, "fsync", full)
    desk = press(desk, "")
    assert isinstance(desk, LayDesk)
    assert desk.ask.key == "shift_start"
    assert "NOT KEPT: No space left on device" in desk.message
    assert desk.bell
    monkeypatch.undo()
    before = kept(path)
    assert before is not None
    assert [key for key, _ in before.answers] == ["name", "units"]  # the older draft is whole
    press(desk, "")
    after = kept(path)
    assert after is not None
    assert [key for key, _ in after.answers] == ["name", "units", "time_zone", "shift_start"]


def test_a_draft_of_a_file_that_has_come_since_is_offered_as_answers_only(path: Path) -> None:
    press(lay_out(path), "1")
    keep(path, Draft((("name", "Other"), ("units", "metric")), {"name": "Other"}))
    desk = press(open_laying(path), "1")
    assert isinstance(desk, LayDesk)
    assert desk.ask.key == "add"
