"""At the anchor: a figure that cannot be right is named before the tape is unhooked, and never corrected."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from fieldtui.job import Walk, accept, doubt, load_job, logs_folder, tell
from fieldtui.route import load_route
from fieldtui.survey import Target
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from fieldtui.tui.lines import text_of
from harness.desks import at_first_chord
from harness.jobs import Ticking, answer_start, begin, lay, resume, with_past

LR = Target("A", "L-R")
Keys = Callable[[str], None]


@pytest.fixture
def desk(tmp_path: Path) -> WalkDesk:
    return at_first_chord(tmp_path)


@pytest.fixture
def keys(desk: WalkDesk) -> Keys:
    def press(typed: str) -> None:
        for key in typed:
            desk.press({"\n": "enter", "*": "asterisk"}.get(key, key), None if key == "\n" else key)

    return press


def page(desk: WalkDesk, width: int = 80, height: int = 24) -> str:
    return text_of(draw_walk(desk, width, height))


def test_a_clean_chord_is_accepted_with_six_keys_and_its_figures(desk: WalkDesk, keys: Keys) -> None:
    figures = ("320", "12.30", "12.33", "12.31", "12")
    keys("\n".join(figures) + "\n\n")
    assert desk.walk.state.bookings[LR].outcome == "read"
    assert desk.step.target == Target("A", "L-K")


def test_a_hole_misread_by_one_is_named_with_a_bell(desk: WalkDesk, keys: Keys) -> None:
    keys("321\n12.30\n12.33\n12.31\n")
    desk.bell = False
    keys("12\n")
    assert desk.bell
    told = page(desk)
    assert "looks like" in told
    assert "hole misread" in told
    assert "320" in told
    assert "Do not unhook" in told


def test_nothing_of_it_is_said_before_the_figures_are_in(desk: WalkDesk, keys: Keys) -> None:
    keys("321\n12.30\n12.33\n12.31\n")
    assert "looks like" not in page(desk)
    assert "hole misread" not in page(desk)


def test_enter_does_not_accept_what_does_not_agree(desk: WalkDesk, keys: Keys) -> None:
    keys("321\n12.30\n12.33\n12.31\n12\n")
    keys("\n")
    assert desk.mode.name == "menu"
    assert not desk.walk.state.bookings[LR].finished
    desk.press("escape", None)
    assert not desk.walk.state.bookings[LR].finished


def test_what_is_likely_right_and_not_sure_is_asked_to_be_read_again(desk: WalkDesk, keys: Keys) -> None:
    keys("320\n12.75\n12.78\n12.76\n12\n")
    assert "not sure" in page(desk)
    assert "as booked" in page(desk)
    keys("\n")
    assert desk.walk.state.bookings[LR].outcome == "", "Enter alone does not accept it"
    assert "read it again" in page(desk)
    keys("1\n")
    assert desk.walk.state.bookings[LR].outcome == "kept", "beside the second reading, and not for right"


def test_what_is_not_sure_says_nothing_of_the_chords_after_it(desk: WalkDesk, keys: Keys) -> None:
    keys("320\n12.75\n12.78\n12.76\n12\n")
    judged = desk.walk.verdicts.booked(LR)
    assert judged is not None
    assert judged.other is not None
    assert (judged.verdict.agrees, judged.verdict.doubted) == (True, True)
    assert not judged.other.agrees


def test_a_hole_whose_first_figure_was_dropped_is_named(desk: WalkDesk, keys: Keys) -> None:
    keys("20\n12.30\n12.33\n12.31\n12\n")
    told = [one.text for one in desk.told() if one.label == "looks like"]
    assert "hole 320 instead of 20" in told[0]
    assert "hole 320" in page(desk)


def test_nothing_is_corrected_by_itself(desk: WalkDesk, keys: Keys) -> None:
    keys("321\n12.30\n12.33\n12.31\n12\n")
    assert desk.walk.state.bookings[LR].hole == 321
    assert "8036" in page(desk), "the length shown is the one that was booked"


def test_the_figure_that_was_wrong_is_chosen_by_number_whichever_it_is(desk: WalkDesk, keys: Keys) -> None:
    keys("321\n12.30\n12.33\n12.31\n12\n\n2\n")
    assert desk.mode.menu is not None
    assert [(item.text, item.remark) for item in desk.mode.menu.items] == [
        ("hole", "321"),
        ("dial 1", "12.30"),
        ("dial 2", "12.33"),
        ("dial 3", "12.31"),
        ("tape temp", "12"),
    ]
    keys("1\n320\n")
    assert desk.walk.state.bookings[LR].hole == 320
    assert not desk.doubted
    assert desk.step.kind == "result"


def test_read_again_by_the_number_pad_and_the_second_reading_agrees(desk: WalkDesk, keys: Keys) -> None:
    keys("321\n12.30\n12.33\n12.31\n12\n\n1\n")
    assert desk.step.target == LR.again()
    keys("320\n12.30\n12.33\n12.31\n12\n\n")
    first, second = desk.walk.state.readings(LR.key)
    assert (first.hole, first.outcome, first.reason) == (321, "kept", "read again")
    assert (second.hole, second.outcome) == (320, "read")
    assert desk.step.target == Target("A", "L-K")


def test_keep_with_a_reason_by_the_number_pad(desk: WalkDesk, keys: Keys) -> None:
    keys("321\n12.30\n12.33\n12.31\n12\n\n3\n3\n")
    booking = desk.walk.state.bookings[LR]
    assert booking.outcome == "kept"
    assert booking.reason == "there was no way to read it again"


def test_reading_again_what_was_kept_leaves_its_reason_as_it_is(desk: WalkDesk, keys: Keys) -> None:
    keys("321\n12.30\n12.33\n12.31\n12\n\n3\n3\n")
    keys("j1\na")
    booking = desk.walk.state.bookings[LR]
    assert (booking.outcome, booking.reason) == ("kept", "there was no way to read it again")
    assert desk.step.target == LR.again()


def test_keep_with_a_reason_in_words(desk: WalkDesk, keys: Keys) -> None:
    keys("321\n12.30\n12.33\n12.31\n12\nk4\n\n")
    assert desk.refused
    keys("bolt plate hit by the loader\n")
    assert desk.walk.state.bookings[LR].reason == "bolt plate hit by the loader"


def test_what_was_shown_is_evidence_in_the_log(desk: WalkDesk, keys: Keys) -> None:
    keys("321\n12.30\n12.33\n12.31\n12\nk2\n")
    shown = desk.walk.writer.records[-1].data["shown"]
    assert shown["looks like"].startswith("hole misread")
    verdict = shown["verdict"]
    assert verdict["agrees"] is False
    assert verdict["explanations"][0]["cause"] == "hole"
    assert sum(one["probability"] for one in verdict["explanations"]) == pytest.approx(1, abs=0.01)
    assert "real movement" in {one["cause"] for one in verdict["explanations"]}


def test_movement_that_is_read_twice_is_movement(desk: WalkDesk, keys: Keys) -> None:
    keys("319\n28.10\n28.13\n28.11\n12\n")
    assert "real movement" in page(desk, height=30)
    keys("\n1\n319\n28.10\n28.13\n28.11\n12\n")
    looks = next(one for one in desk.told() if one.label == "looks like")
    assert looks.text.startswith("real movement")
    keys("\n")
    assert desk.mode.menu is not None
    keys("\n\n3\n1\n")
    assert desk.walk.state.bookings[LR.again()].outcome == "kept"


def test_what_does_not_fit_is_turned_to_before_anything_is_accepted(desk: WalkDesk, keys: Keys) -> None:
    keys("319\n28.10\n28.13\n28.11\n12\n")
    first = page(desk, 60, 20)
    assert "looks like" in first
    assert "more lines: Enter" in first
    assert "repeats" not in first
    keys("\n")
    assert desk.mode.menu is None
    second = page(desk, 60, 20)
    assert "looks like" not in second
    assert "repeats" in second
    assert "more lines" not in second
    keys("\n")
    assert desk.mode.menu is not None, "all has been seen: now Enter shows what can be done"
    keys("0\n")
    assert "looks like" in page(desk, 60, 20)


def test_a_level_is_named_at_once_even_if_the_figures_look_misread(desk: WalkDesk, keys: Keys) -> None:
    keys("319\n12.30\n12.33\n12.31\n12\n")
    told = page(desk)
    assert "looks like" in told
    assert "above, if true: stop" in told
    assert "tunnel manager" in told


def test_who_was_told_is_booked_once_the_reading_is_accepted_and_not_before(tmp_path: Path) -> None:
    clock = Ticking()
    path = with_past(lay(tmp_path), before=clock.now)
    route = load_route(path)
    desk = WalkDesk(begin(path, clock), load_job(route, logs_folder(route)))
    answer_start(desk.walk)
    desk.walk.book("")
    for typed in ("319", "28.10", "28.13", "28.11", "12"):
        desk.walk.book(typed)
    desk.to_step()
    desk.act("call")
    assert "when this reading is accepted" in desk.message
    accept(desk.walk, outcome="kept", reason="seen")
    desk.walk.unread(Target("A", "L-K"), "blocked")
    desk.to_step()
    assert "to be told: w" in page(desk)
    desk.act("call")
    assert desk.mode.menu is not None
    desk.to_step()
    desk.walk.go_to_end()
    desk.walk.close()
    desk.to_step()
    assert "to be told: w" not in page(desk)
    assert "book it in the journal" in " ".join(page(desk).split())


def test_the_hole_is_asked_for_twice_where_one_more_would_look_like_movement(tmp_path: Path) -> None:
    desk = WalkDesk(begin(lay(tmp_path)))
    answer_start(desk.walk)
    for typed in ("", "320", "12.30", "12.33", "12.31"):
        desk.walk.book(typed)
    assert desk.step.what == "hole_again"
    desk.to_step()
    assert "read its number once" in page(desk)
    desk.walk.book("321")
    assert desk.step.what == "hole"
    assert "not the same" in page(desk)
    desk.walk.leave()
    again = resume(tmp_path / "heading.toml")
    assert again.step == desk.step
    again.book("321")
    assert again.step.what == "temperature"
    assert [struck.entry.typed for struck in again.state.bookings[LR].struck] == ["320"]


def test_two_holes_that_never_agree_are_asked_for_in_turn(tmp_path: Path) -> None:
    walk = begin(lay(tmp_path))
    answer_start(walk)
    for typed in ("", "320", "12.30", "12.33", "12.31", "321"):
        walk.book(typed)
    assert walk.step.what == "hole"
    walk.book("322")
    assert walk.step.what == "hole_again"
    walk.book("322")
    assert walk.step.what == "temperature"


def test_a_resumed_survey_judges_as_before(desk: WalkDesk, keys: Keys, tmp_path: Path) -> None:
    keys("321\n12.30\n12.33\n12.31\n12\n")
    before = desk.told()
    desk.walk.leave()
    again = WalkDesk(resume(tmp_path / "heading.toml"))
    assert again.told() == before


# -- calls and strikes -----------------------------------------------------------------------------------------------


@pytest.fixture
def called(tmp_path: Path) -> WalkDesk:
    """A chord beyond both levels, read twice and kept; the call is open."""
    clock = Ticking()
    path = with_past(lay(tmp_path), before=clock.now)
    route = load_route(path)
    job = load_job(route, logs_folder(route))
    desk = WalkDesk(Walk.begin(job, clock=clock), job)
    answer_start(desk.walk)
    for typed in ("", "319", "20.30", "20.33", "20.31", "12"):
        desk.walk.book(typed)
    desk.to_step()
    for key in ("enter", "1", "enter"):
        desk.press(key, key if len(key) == 1 else None)
    for typed in ("319", "20.30", "20.33", "20.31", "12"):
        desk.walk.book(typed)
    accept(desk.walk, outcome="kept", reason="read again, and it says the same")
    desk.to_step()
    return desk


def press(desk: WalkDesk, typed: str) -> None:
    for key in typed:
        desk.press("enter" if key == "\n" else key, None if key == "\n" else key)


def test_an_open_call_stands_on_the_screen_until_everybody_is_told(called: WalkDesk) -> None:
    assert "to be told" in page(called)
    calls = called.seen.open_calls
    roles = sum(len(call.untold) for call in calls)
    assert roles > 0
    for _ in range(roles):
        press(called, "w")
        press(called, "1\n")
        called.paste("C. Night")
        press(called, "\n1\n")
        called.paste("coming")
        press(called, "\n")
        assert "Booked" in called.message
    assert called.seen.open_calls == ()
    assert "to be told" not in page(called)
    told = [record.data for record in called.walk.writer.records if record.kind == "call"]
    assert {(one["person"], one["means"], one["answer"]) for one in told} == {("C. Night", "by radio", "coming")}


def test_an_open_call_is_still_there_in_the_next_survey(called: WalkDesk) -> None:
    called.walk.leave()
    again = load_job(called.walk.route, called.walk.writer.path.parent)
    desk = WalkDesk(Walk.begin(again, clock=Ticking(datetime(2031, 5, 5, tzinfo=UTC))), again)
    assert desk.seen.open_calls
    assert "to be told" in page(desk)


def test_any_entry_is_struck_out_with_a_reason_and_a_name(desk: WalkDesk, keys: Keys) -> None:
    keys("320\n12.30\n")
    press(desk, "x")
    press(desk, "1\n\n")
    assert desk.refused
    desk.paste("read off the wrong dial")
    press(desk, "\n\n")
    booking = desk.walk.state.bookings[LR]
    assert "dial_1" not in booking.slots
    assert booking.struck[-1].reason == "read off the wrong dial"
    assert desk.step.what == "dial_1"
    assert "12.30" in desk.message


def test_a_figure_typed_at_a_reading_that_is_whole_is_told_how_it_is_read_again(desk: WalkDesk, keys: Keys) -> None:
    keys("320\n12.36\n12.33\n12.37\n12\n")
    press(desk, "320\n")
    assert desk.message == "“320” is not booked: no figure is asked for here. Enter alone goes on, a reads it again."
    press(desk, "a")
    keys("318\n12.36\n12.33\n12.37\n12\n")
    assert desk.doubted
    press(desk, "318\n")
    assert desk.message.endswith("Enter shows what can be done, a reads it again.")


def test_who_was_told_is_named_where_it_is_struck_out(called: WalkDesk) -> None:
    press(called, "w1\n")
    called.paste("C. Night")
    press(called, "\n1\n\n")
    assert called.message.startswith("Booked: C. Night, as shift engineer, was told of A L-R, look.")
    assert called.message.endswith("x strikes it out."), "a wrong name is seen, and what to do about it, at once"
    press(called, "x")
    assert "1 C. Night, as shift engineer, was told of A L-R, look (closing)" in " ".join(page(called).split())
    press(called, "1\n")
    called.paste("not him")
    press(called, "\n\n")
    assert "“C. Night, as shift engineer, was told of A L-R, look (closing)”" in called.message
    assert "2 to be told" in page(called), "of that level nobody has been told now"
    press(called, "w1\n")
    called.paste("D. Night")
    press(called, "\n1\n\n")
    assert "1 to be told" in page(called)


@pytest.mark.parametrize("stop", ["", "1\n", "1\n5\n"], ids=["in the list", "at the reason", "at the name"])
def test_a_strike_that_is_left_half_way_strikes_nothing(called: WalkDesk, stop: str) -> None:
    press(called, "w1\n")
    called.paste("C. Night")
    press(called, "\n1\n\n")
    before = len(called.walk.writer.records)
    press(called, "x" + stop + "+0\n")
    assert (called.mode.name, len(called.walk.writer.records)) == ("step", before), "by the number pad alone"
    press(called, "x" + stop)
    called.press("f10", None)
    assert called.done
    assert len(called.walk.writer.records) == before


def test_what_all_lengths_have_in_common_is_said_as_soon_as_it_shows(tmp_path: Path) -> None:
    """A zero that slipped by 0.9 mm, on the chords of a survey and on the control frame."""
    clock = Ticking()
    path = lay(tmp_path, control=True)
    end = clock.now
    for days in range(6, -1, -1):
        walk = begin(path, Ticking(end - timedelta(days=days)))
        slip = Decimal("0.9") if days == 0 else Decimal(0)
        for typed in ("AB", "", "1", "1", "", "1", "0.00"):
            walk.book(typed)
        while walk.step.kind != "end":
            _read(walk, slip + Decimal(days % 3) / 100)
    desk = WalkDesk(walk)
    assert "In common" in page(desk)
    assert "+0.9" in page(desk) or "+0.8" in page(desk)
    shown = [record.data["shown"] for record in walk.writer.records if record.kind == "accepted"]
    # too few chords before it, and none with the frame
    assert ["in common" in one for one in shown] == [False, False, False, True, False]
    walk.go(LR.again())
    walk.figure(LR.again(), "hole", "320")
    walk.figure(LR.again(), "dial_1", "13.2")
    assert "in common" not in {one.label for one in tell(walk, LR.again())}, "half booked"


def test_what_lengths_have_in_common_is_a_notice_once_and_is_said_with_every_chord_after_that(tmp_path: Path) -> None:
    """A notice on every chord of a night is passed over, and what is new on one of them with it."""
    path = lay(tmp_path)
    route = path.read_text(encoding="utf-8")
    last = route[route.rindex("[[station]]") :]
    path.write_text(route + "".join(last.replace('"B"', f'"{name}"') for name in "CDEF"), encoding="utf-8")
    end = Ticking().now
    for days in range(6, -1, -1):
        walk = begin(path, Ticking(end - timedelta(days=days)))
        for typed in ("AB", "", "1", "1", "", "1", "0.00"):
            walk.book(typed)
        told = []
        while walk.step.kind != "end":
            if walk.step.kind == "result" and walk.step.target is not None:
                said = tell(walk, walk.step.target)
                told.append([one.weight for one in said if one.label == "in common"])
                labels = [one.label for one in said]
                assert told[-1] != ["notice"] or labels.index("in common") < labels.index("since start"), labels
            _read(walk, Decimal("0.3" if days == 0 else 0) + Decimal(days % 3) / 100)
    assert told == [[], [], [], ["notice"], [""], [""], [""]], "the first three are too few to tell"
    assert "▲ In common" in page(WalkDesk(walk)), "before the tunnel is left"


HOLES = {"frame": "200", "L-R": "320", "L-K": "240"}


def _read(walk: Walk, slip: Decimal) -> None:
    step = walk.step
    if step.kind == "result":
        accept(walk, outcome="kept" if doubt(walk) else "read")
    elif step.kind == "arrive" or step.target is None:
        walk.book("")
    elif step.what in ("hole", "hole_again"):
        walk.book(HOLES[step.target.chord])
    elif step.what == "temperature":
        walk.book("12.0")
    else:
        walk.book(str(Decimal("12.3") + slip))


def test_of_a_first_reading_far_off_it_is_said_that_the_anchors_may_be_elsewhere(tmp_path: Path) -> None:
    desk = WalkDesk(begin(lay(tmp_path), Ticking()))
    answer_start(desk.walk)
    desk.walk.book("")
    for typed in ("332", "12.30", "12.33", "12.31", "332", "12"):
        desk.walk.book(typed)
    desk.to_step()
    told = " ".join(one.text for one in desk.told())
    assert "longer than by the anchors' coordinates: the anchors may be elsewhere" in told
    assert "than expected" not in told


@pytest.mark.parametrize(
    ("figures", "cause", "figure", "look"),
    [
        ("319 19.93 19.96 19.94 12", "real movement", "17.3", "read again: a second reading that says the same"),
        ("321 12.30 12.33 12.31 12", "hole misread", "hole 320 instead of 321", "read the hole again"),
        ("320 17.30 17.33 17.31 12", "dial misread", "dial 5 mm less", "read the dial again"),
        ("320 12.30 17.33 12.31 12.32 12.30 12", "one repeat misread", "the second repeat, 17.33", "read that repeat"),
        ("320 12.30 12.33 12.31 53.6", "temperature misread", "12.0 instead of 53.6", "read the thermometer again"),
        ("320 13.66 13.15 13.47 13.22 13.61 12", "tape caught or hook not seated", "reads long", "look along the tape"),
    ],
)
def test_the_page_names_cause_figure_and_what_to_look_at(
    desk: WalkDesk, keys: Keys, figures: str, cause: str, figure: str, look: str
) -> None:
    keys(figures.replace(" ", "\n") + "\n")
    told = page(desk, 120, 40)
    for words in ("looks like", cause, figure, look):
        assert words in told
