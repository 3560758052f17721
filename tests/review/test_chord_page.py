"""One chord on its page: every part can be reached by digits, Enter and 0; all of it at once in a large window."""

from __future__ import annotations

import pytest
from review.pressing import computed, press, text

from fieldtui.review.chord_page import COMPUTING, PARTS, ChordDesk
from fieldtui.review.chord_words import NO_GROUND
from fieldtui.review.help_page import TEXTS, HelpDesk
from fieldtui.review.opening import OpeningDesk
from fieldtui.review.route_page import RouteDesk
from fieldtui.review.station_page import StationDesk
from fieldtui.review.study import Study

SLOWING = ("S09", "L-R")
RISING = ("S08", "L-R")


def chord(study: Study, key: tuple[str, str] = SLOWING, part: str = "date") -> ChordDesk:
    desk = ChordDesk(study, key, part)
    computed(desk)
    return desk


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("1\n", "by date; closing downwards"),
        ("2\n", "m from the face"),
        ("3\n", "Closed surveys"),
        ("4\n", "Laws side by side"),
        ("5\n", "Is it at rest by the route's rule"),
        ("6\n", "reads no date off them"),
    ],
)
def test_each_part_has_a_number(study: Study, typed: str, words: str) -> None:
    assert words in " ".join(text(press(chord(study), typed), 80, 24).split())


def test_enter_alone_leafs_through_everything_and_round(study: Study) -> None:
    """Long texts page by page, so that nothing is missed."""
    desk, seen, shown = chord(study, part="readings"), [], ""
    for _ in range(20):
        told = text(desk, 80, 24)
        shown += told
        assert isinstance(desk, ChordDesk)
        seen.append(desk.part)
        press(desk, "\n")
        if desk.part == "date":
            break
    assert list(dict.fromkeys(seen)) == list(PARTS[2:])
    for row in study.rows[SLOWING]:
        assert f"{row.booked.time:%Y-%m-%d %H:%M}" in shown


def test_what_is_known_stands_above_every_part(study: Study) -> None:
    for part in PARTS:
        told = text(chord(study, RISING, part), 80, 24)
        assert "since start -14.63 ± 0.29 mm" in told
        assert "rate -0.29 ± 0.14 mm/d" in told
        assert "▲ speeding up, closing" in told


def test_until_the_laws_are_fitted_the_page_says_so_and_takes_keys(study: Study) -> None:
    fresh = Study(study.job, study.now)
    desk = ChordDesk(fresh, SLOWING, "laws")
    assert COMPUTING[:30] in text(desk, 80, 24)
    assert "●" in text(ChordDesk(fresh, SLOWING), 80, 24)
    work = desk.work()
    assert work is not None
    assert desk.work() is None
    desk.press("right", None)
    assert isinstance(desk.next, ChordDesk)
    assert desk.next.part == "laws"
    work()
    assert not fresh.known(SLOWING)  # nobody waits for it any more
    assert COMPUTING[:30] not in text(chord(fresh, part="laws"), 80, 24)


def test_what_was_not_computed_while_help_was_open_is_computed_after_it(study: Study) -> None:
    fresh = Study(study.job, study.now)
    desk = ChordDesk(fresh, SLOWING, "laws")
    work = desk.work()
    assert work is not None
    desk.press("f1", None)
    work()
    assert isinstance(desk.next, HelpDesk)
    assert press(desk.next, "0\n") is desk
    assert COMPUTING[:30] not in text(desk, 80, 24)


def test_next_and_previous_chord_go_round_in_the_order_of_the_list(study: Study) -> None:
    first = ChordDesk(study, study.keys[0], "readings")
    assert press(first, "8\n").key == study.keys[1]  # type: ignore[attr-defined]
    assert press(ChordDesk(study, study.keys[0]), "9\n").key == study.keys[-1]  # type: ignore[attr-defined]
    assert press(ChordDesk(study, study.keys[-1]), "8\n").key == study.keys[0]  # type: ignore[attr-defined]
    for key, place in (("+", 1), ("right", 1), ("-", -1), ("left", -1)):
        desk = press(ChordDesk(study, study.keys[0], "readings"), [key])
        assert isinstance(desk, ChordDesk)
        assert (desk.key, desk.part) == (study.keys[place], "readings")


def test_the_station_and_back(study: Study) -> None:
    station = press(chord(study), "10\n")
    assert isinstance(station, StationDesk)
    assert station.station.name == "S09"
    again = press(station, "0\n")
    assert isinstance(again, ChordDesk)
    assert again.key == SLOWING
    assert isinstance(press(again, "0\n"), RouteDesk)
    assert isinstance(press(chord(study), ["escape"]), RouteDesk)


def test_each_law_that_answers_can_be_drawn_and_none(study: Study) -> None:
    desk = chord(study)
    told = study.review_of(SLOWING)
    assert told is not None
    names = [one.law.name for one in told.answers if one.answers]
    assert len(names) > 1
    for name in (*names, ""):
        press(desk, "7\n")
        assert [one for one in names if f"⠒ {one}" in text(desk, 80, 24)] == ([name] if name else [])
    press(desk, ["*"])
    assert f"⠒ {names[0]}" in text(desk, 80, 24)


@pytest.mark.parametrize("width", [60, 80, 120])
def test_every_number_stands_whole_below(study: Study, width: int) -> None:
    desk = chord(study, ("S06", "L1-R1"))
    foot = " ".join(text(desk, width, 24).split("─\n")[-1].split())
    for one in desk.choices():
        assert f"{one.number} {one.text}" in foot
    assert "6 days for a unit" in foot
    assert foot.endswith("0 back Enter leaf on ? help")


def test_where_no_law_answers_there_is_none_to_draw(study: Study) -> None:
    desk = press(chord(study, RISING), "7\n")
    assert desk.bell
    assert "No law answers here" in text(desk, 80, 24)


def test_a_number_that_is_not_there_is_refused(study: Study) -> None:
    desk = press(chord(study), "12\n")
    assert "12 is none of the numbers below." in text(desk, 80, 24)


def test_the_laws_are_fitted_anew_from_an_event_on(study: Study) -> None:
    key = ("S06", "L1-R1")
    desk = chord(study, key, "laws")
    (event,) = study.events_of(key)
    every = study.review_of(key)
    assert every is not None
    press(desk, "11\n")
    after = study.review_of(key, event.time)
    assert after is not None
    assert min(after.chord.times) >= event.time
    assert len(after.chord.course) < len(every.chord.course)
    told = text(desk, 80, 24)
    assert f"Fitted to the readings from {event.time:%d %b %Y}, stage, on." in told
    assert f"{len(after.chord.course)} readings that count" in told
    press(desk, "11\n")
    assert f"{len(every.chord.course)} readings that count" in text(desk, 80, 24)
    assert "Fitted to" not in text(desk, 80, 24)


def test_a_chord_without_an_event_has_no_number_for_one(study: Study) -> None:
    bare = Study(study.job, study.now)
    bare.events_of = lambda key: ()  # type: ignore[method-assign]
    desk = press(ChordDesk(bare, SLOWING, "readings"), "11\n")
    assert "11 is none of the numbers below." in text(desk, 80, 24)


def test_no_forecast_while_the_rate_rises(study: Study) -> None:
    told = text(chord(study, RISING, "laws"), 80, 24)
    assert "no law answers" in told
    assert told.count("The rate is rising: no forecast.") == 4
    rest = " ".join(text(chord(study, RISING, "rest"), 80, 24).split())
    assert "▲ Yes: by its last readings it moves faster and faster." in rest
    assert "Together: not at rest by the rule." in rest


def test_the_table_stands_beside_the_plot_where_there_is_room(study: Study) -> None:
    narrow, wide = text(chord(study), 80, 24), text(chord(study), 120, 40)
    assert "Closed surveys" not in narrow
    assert "Closed surveys" in wide
    assert "by date; closing" in wide
    laws = text(chord(study, part="laws"), 120, 40)
    assert "by date; closing" in laws
    assert "hyperbolic" in laws


def test_a_large_window_shows_everything_at_once(study: Study) -> None:
    told = text(chord(study), 200, 60)
    for words in ("by date; closing", "m from the face", "Closed surveys", "hyperbolic", "by the route's rule"):
        assert words in told
    assert "reads no date" in text(chord(study, part="days for a unit"), 200, 60)


@pytest.mark.parametrize("height", range(46, 66, 2))
def test_a_large_window_cuts_nothing_that_is_said(study: Study, height: int) -> None:
    """Where laws and rest do not stand beside the plots whole, each is a part of its own again."""
    whole = text(chord(study, part="rest"), 160, height)
    assert "Together: " in whole
    assert NO_GROUND in whole


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("size", [(1, 1), (20, 6), (60, 20), (80, 24), (111, 30), (112, 24), (160, 50), (200, 60)])
def test_any_size_is_filled_exactly(study: Study, part: str, size: tuple[int, int]) -> None:
    text(chord(study, part=part), *size)
    text(chord(study, RISING, part), *size)


def test_a_chord_that_was_never_read(small: Study) -> None:
    empty = Study(small.job, small.now.replace(year=2030))
    assert all(one.last is None for one in empty.glances)
    for part in PARTS:
        assert "never read" in text(ChordDesk(empty, empty.keys[0], part), 80, 24)


def test_it_never_says_that_ground_is_safe(study: Study) -> None:
    for key in study.keys[::6]:
        for part in PARTS:
            assert "safe" not in text(chord(study, key, part), 80, 60).replace("unsafe", "").lower()


def test_help_from_every_page_and_back_to_it(study: Study) -> None:
    """By ? or the number pad's point; every part of it can be reached by Enter alone."""
    for desk in (chord(study, part="readings"), RouteDesk(study), StationDesk(study, "S06")):
        for key in ("?", ".", "f1"):
            helped = press(desk, [key])
            assert isinstance(helped, HelpDesk)
            shown = ""
            for _ in range(4):
                shown += text(helped, 80, 24)
                press(helped, "\n")
            for title, words in TEXTS:
                assert f" {title}" in shown
                assert words.split()[-1] in shown
            assert press(helped, "0\n") is desk
            assert not desk.done
            assert press(press(desk, [key]), ["escape"]) is desk


def test_f10_leaves_the_program_from_every_page_as_its_help_says(study: Study) -> None:
    opening = OpeningDesk(study.job, lambda: RouteDesk(study))
    pages = [chord(study, part="readings"), RouteDesk(study), StationDesk(study, "S06"), opening]
    pages.append(HelpDesk(RouteDesk(study)))
    for desk in pages:
        desk.press("f10", None)
        assert (desk.done, desk.next) == (True, None), desk
    assert "F10, Ctrl+C: leave" in dict(TEXTS)["Keys"]


def test_in_a_narrow_window_waiting_is_said_whole(small: Study) -> None:
    desk = ChordDesk(Study(small.job, small.now), ("A", "L-R"), "days for a unit")
    assert COMPUTING in " ".join(text(desk, 60, 20).split())


def test_a_message_moves_nothing_above_it(small: Study) -> None:
    desk = chord(small, ("A", "L-R"))
    for width in (60, 80, 132):
        before = text(desk, width, 24).splitlines()
        press(desk, "55\n")
        after = text(desk, width, 24).splitlines()
        assert any("55 is none of the" in line for line in after)
        cut = next(place for place, line in enumerate(after) if "55 is none" in line)
        assert after[:cut] == before[:cut]


def test_a_name_that_is_cut_in_the_first_line_says_so(small: Study) -> None:
    head = text(chord(small, ("A", "L-R")), 32, 24).splitlines()[0]
    assert "…" in head
    assert head.endswith("chords")
