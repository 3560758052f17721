"""The instrument proved on the screen: the frame's chart, what to do where it fails, the dial zero, care."""

from __future__ import annotations

import shutil
from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from fieldtui.job import Walk, load_job, logs_folder, tell
from fieldtui.reduction.chart import SET
from fieldtui.route import load_route
from fieldtui.survey import Target, frame_target, zero_target
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.lines import text_of
from harness.jobs import CONTROL, TWO_CHORDS, Ticking, answer_start, begin, lay

NAMES = {"\n": "enter", "*": "asterisk", "/": "slash", "+": "plus"}
HOLES = {"frame": "200", "L-R": "320", "L-K": "240"}
MORE = 'zero_check_every = 1\n[[care]]\nwhat = "dial battery"\nevery_days = 30\n'
TAPE = TWO_CHORDS[TWO_CHORDS.index("[[tape]]") : TWO_CHORDS.index("[[extensometer]]")]
USUAL = ("12.31", "12.28", "12.33", "12.30", "12.29")


def press(desk: WalkDesk, keys: str) -> None:
    for key in keys:
        desk.press(NAMES.get(key, key), None if key == "\n" else key)


def page(desk: WalkDesk, width: int = 80, height: int = 24) -> str:
    return text_of(draw_walk(desk, width, height))


def step_on(walk: Walk, shown: str, chord: str = "") -> None:
    """Book what the prompt asks for, the frame reading `shown`."""
    step = walk.step
    answers = {"reader": "AB", "tape": "1", "extensometer": "1", "cautions": "1"}
    if step.kind == "say":
        walk.book(answers.get(step.what, ""))
    elif step.kind == "result":
        walk.accept()
    elif step.kind == "arrive" or step.target is None:
        walk.book("")
    elif step.what == "zero":
        walk.book("0.00")
    elif step.what in ("hole", "hole_again"):
        walk.book(HOLES[step.target.chord])
    elif step.what == "temperature":
        walk.book("20.0")
    else:
        walk.book(shown if step.target.is_frame else "12.30")


@pytest.fixture(scope="module")
def proven(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A route of two tapes, its frame read in a first set of surveys."""
    path = tmp_path_factory.mktemp("proven") / "heading.toml"
    path.write_text(TWO_CHORDS.replace("{more}", MORE) + TAPE.replace("T1", "T2") + CONTROL, encoding="utf-8")
    now = Ticking().now
    for days in range(SET, 0, -1):
        walk = begin(path, Ticking(now - timedelta(days=days)))
        while not walk.state.bookings.get(frame_target("start"), None) or walk.step.target == frame_target("start"):
            step_on(walk, USUAL[days % len(USUAL)])
        walk.close()
    return path


@pytest.fixture
def desk(proven: Path, tmp_path: Path) -> WalkDesk:
    """A new survey, at the first dial figure of the control frame."""
    # a copy: the surveys of other tests would stand in its chart
    shutil.copytree(proven.parent, tmp_path / "job")
    route = load_route(tmp_path / "job" / proven.name)
    job = load_job(route, logs_folder(route))
    walk = Walk.begin(job, clock=Ticking())
    while walk.step.what != "dial_1":
        step_on(walk, "")
    return WalkDesk(walk, job)


def frame(desk: WalkDesk, shown: str) -> None:
    press(desk, f"{shown}\n{shown}\n{shown}\n20.0\n")


def test_the_chart_stands_under_the_frame_s_figures(desk: WalkDesk) -> None:
    frame(desk, "12.32")
    shown = page(desk)
    assert "control frame with T1 and X1, survey by survey; limits from the first 20" in shown
    assert "usual, +0.02 of" in shown
    assert "◆" in shown


def test_before_the_set_is_full_the_screen_says_how_far_it_is(desk: WalkDesk) -> None:
    chart = desk.walk.held(("T1", "X1")).chart
    assert chart is not None
    assert chart.limits is not None
    assert len(chart.points) == SET


class TestAFrameThatFails:
    @pytest.fixture
    def failed(self, desk: WalkDesk) -> WalkDesk:
        frame(desk, "12.60")
        press(desk, "\n")
        return desk

    def test_the_prompt_says_what_enter_does(self, desk: WalkDesk) -> None:
        frame(desk, "12.60")
        assert "Look before you unhook. Enter shows what can be done." in page(desk)

    def test_keeping_it_leads_to_what_can_be_done(self, desk: WalkDesk) -> None:
        frame(desk, "12.60")
        press(desk, "k")
        assert desk.mode.menu is not None
        assert desk.mode.menu.title == "The control frame is not what it was"

    def test_enter_alone_does_not_pass_it_over(self, failed: WalkDesk) -> None:
        assert failed.mode.menu is not None
        assert [item.text for item in failed.mode.menu.items] == [
            "read the frame again; both readings are kept",
            "take another tape, which is proved next",
            "go on with it: every length says so",
        ]
        press(failed, "\n")
        assert frame_target("start") not in {one for one, b in failed.walk.state.bookings.items() if b.finished}

    def test_read_again_and_usual_nothing_is_in_doubt(self, failed: WalkDesk) -> None:
        press(failed, "1\n200\n")
        frame(failed, "12.30")
        press(failed, "\n")
        assert failed.step.kind == "arrive"
        self.read_a_chord(failed)
        assert "IN DOUBT" not in page(failed)

    def test_another_tape_is_proved_before_anything_is_read_with_it(self, failed: WalkDesk) -> None:
        press(failed, "2\n1\n")
        assert failed.walk.state.answer("tape") == "T2"
        assert failed.step.target == frame_target("start", 2)
        assert failed.walk.state.bookings[frame_target("start")].reason == "tape T2 is taken instead"

    def test_a_tape_changed_from_the_list_of_all_actions_is_proved_next_as_well(self, desk: WalkDesk) -> None:
        frame(desk, "12.60")
        press(desk, "+")
        place = [item.text for item in desk.mode.menu.items].index("change tape") + 1
        press(desk, f"{place}\n2\n1\n")
        assert desk.walk.state.answer("tape") == "T2"
        assert desk.step.target == frame_target("start", 2)
        assert desk.walk.state.bookings[frame_target("start")].reason == "tape T2 is taken instead"

    def test_gone_on_with_every_length_says_so(self, failed: WalkDesk) -> None:
        press(failed, "3\n")
        self.read_a_chord(failed)
        assert "IN DOUBT" in page(failed, 80, 30)
        assert "control frame beyond its limit at the start" in page(failed, 120, 40)
        press(failed, "\n")
        booking = failed.walk.state.bookings[Target("A", "L-R")]
        assert booking.finished, "no list at every chord: it was seen at the frame"

    @staticmethod
    def read_a_chord(desk: WalkDesk) -> None:
        while desk.step.kind != "result":
            step_on(desk.walk, "12.30")
        desk.to_step()


def test_a_zero_that_moved_rings_and_is_said_when_it_is_booked(desk: WalkDesk) -> None:
    frame(desk, "12.30")
    while desk.step.target != zero_target("between"):
        step_on(desk.walk, "12.30")
    desk.to_step()
    assert "its last dial zero was 0.00" in page(desk)
    press(desk, "0.31\n")
    assert desk.bell
    assert desk.message.startswith("MOVED +0.31 mm since the start, more than 0.15: this survey is in doubt")
    press(desk, "*0.01\n")
    assert desk.walk.state.bookings[zero_target("between")].slots["zero"].typed == "0.01"


def test_a_dial_that_was_off_is_booked_from_the_list_and_its_zero_asked_for(desk: WalkDesk) -> None:
    frame(desk, "12.30")
    press(desk, "\n")
    choose(desk, "the dial was off, knocked, or has a new battery")
    press(desk, "2\n")
    assert desk.step.target == zero_target("between")
    assert desk.walk.state.answer("dial") == "it has a new battery"


def test_care_is_booked_from_the_list(desk: WalkDesk) -> None:
    choose(desk, "care was given to the instrument")
    press(desk, "1\n")
    assert desk.walk.state.answer("care dial battery") == "done"
    press(desk, "+")
    assert desk.mode.menu is not None
    assert not [item.text for item in desk.mode.menu.items if "change care" in item.text]


def choose(desk: WalkDesk, text: str) -> None:
    press(desk, "+")
    assert desk.mode.menu is not None
    number = [item.text for item in desk.mode.menu.items].index(text) + 1
    press(desk, f"{number}\n")


def test_the_end_is_held_against_the_start(desk: WalkDesk) -> None:
    frame(desk, "12.25")
    while not (desk.step.target == frame_target("end") and desk.step.kind == "figure"):
        step_on(desk.walk, "12.25")
    press(desk, "200\n")
    frame(desk, "12.65")
    assert "end - start" in page(desk, 100, 40)
    told = {one.label: one.text for one in desk.told()}
    press(desk, "\n3\n")
    assert "lengths read with T1 and X1 are in doubt" in page(desk, 200, 40)
    assert told["end - start"].startswith("+0.40 ±")
    assert "not one instrument" in told["end - start"]
    assert Decimal("0.15") == desk.walk.route.controls[0].limit


def test_what_the_frame_takes_off_is_said_at_the_frame_and_on_every_length(tmp_path: Path) -> None:
    path = tmp_path / "heading.toml"
    framed = CONTROL.replace("correct = false", "correct = true")
    path.write_text(TWO_CHORDS.replace("{more}", "") + framed, encoding="utf-8")
    for days, shown in ((2, "12.30"), (1, "12.40")):
        walk = begin(path, Ticking(Ticking().now - timedelta(days=days)))
        while walk.step.kind != "end" and not (days == 1 and walk.step.target == Target("A", "L-K")):
            step_on(walk, shown)
        if days == 2:
            assert "taken off" not in {one.label for one in tell(walk, frame_target("start"))}
            walk.close()
    read = {one.label: one.text for one in tell(walk, Target("A", "L-R"))}
    assert read["length"].startswith("8012.20 ±"), "8012.30 less the frame's 0.10"
    assert read["taken off"].startswith("the frame's change, +0.10 ±")
    assert read["taken off"].endswith("a constant, not a stretch of the tape; by the start alone until the end is read")
    at_the_frame = {one.label: one.text for one in tell(walk, frame_target("start"))}
    assert "start and end, averaged" in at_the_frame["taken off"]
    while walk.step.kind != "end":
        step_on(walk, "12.34")
    read = {one.label: one.text for one in tell(walk, Target("A", "L-R"))}
    assert read["length"].startswith("8012.23 ±"), "the mean of start and end is taken off"
    assert read["taken off"].endswith("a constant, not a stretch of the tape")


def test_an_end_read_with_another_tape_takes_nothing_off_lengths_of_the_first(tmp_path: Path) -> None:
    path = tmp_path / "heading.toml"
    text = TWO_CHORDS.replace("{more}", "")
    tape = text[text.index("[[tape]]") : text.index("[[extensometer]]")]
    framed = CONTROL.replace("correct = false", "correct = true")
    path.write_text(text.replace(tape, tape + tape.replace("T1", "T2")) + framed, encoding="utf-8")
    for days, shown in ((2, "12.30"), (1, "12.40")):
        walk = begin(path, Ticking(Ticking().now - timedelta(days=days)))
        while walk.step.kind != "end":
            if days == 1 and walk.step.target == Target("A", "L-K") and walk.state.answer("tape") == "T1":
                walk.say("tape", "T2")
            step_on(walk, shown)
        if days == 2:
            walk.close()
    assert walk.state.bookings[frame_target("end")].tape == "T2"
    read = {one.label: one.text for one in tell(walk, Target("A", "L-R"))}
    assert read["taken off"].endswith("by the start alone until the end is read")


def test_what_was_read_of_the_instrument_stands_first_where_there_is_little_room(tmp_path: Path) -> None:
    desk = WalkDesk(begin(lay(tmp_path, control=True)))
    answer_start(desk.walk)
    for typed in ("199", "25.00", "25.01", "25.02", "12"):
        desk.walk.book(typed)
    desk.walk.accept()
    desk.walk.go(frame_target("end"))
    desk.to_step()
    page = text_of(draw_walk(desk, 80, 24))
    assert "control frame at the start" in page
    assert page.index("control frame at the start") < page.index("reader: AB")
