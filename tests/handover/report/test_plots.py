"""The plots of a chord: levels, segment joins, events of construction and the face, each in the figure and in words."""

from __future__ import annotations

import re

from fieldtui.handover.report.scope import scope_of
from fieldtui.handover.report.stations import ChordPart, station_parts
from fieldtui.handover.report.words import Words
from fieldtui.job import Job
from fieldtui.progress import silent
from harness.shelf import Read, Shelf, day, route_with, stamp

FACE = (
    ('name = "A"', 'name = "A"\nface = "heading"'),
    ('[[tape]]\nserial = "T1"', '[[face]]\nname = "heading"\nadvances = "up"\n[[tape]]\nserial = "T1"'),
)


def chord(job: Job) -> ChordPart:
    """The part of chord L-R at station A."""
    scope = scope_of(job)
    return station_parts(scope, Words(scope.job.route), silent)[0].chords[0]


def drawn(part: ChordPart, place: int = 0) -> list[str]:
    """The texts that stand in a figure."""
    return re.findall(r"<text[^>]*>([^<]*)</text>", part.plots[place].svg)


def shelf(*, face: bool = False) -> Shelf:
    """Two surveys with one tape, two more with another."""
    made = Shelf(route_with(*FACE) if face else route_with())
    for place, length in enumerate(("8000.00", "7997.00", "7996.20", "7996.10")):
        said = {"face heading": str(100 + 5 * place)} if face else None
        made.survey(10 * place, Read("L-R", length), tape="T1" if place < 2 else "T2", said=said)
    return made


def test_a_level_within_the_plot_is_drawn_and_one_far_off_is_named_below_it() -> None:
    part = chord(Shelf(route_with(), shelf().logs[:2]).job)
    assert "look" in drawn(part)
    assert "stop" not in drawn(part)
    assert part.captions == ("Levels too far off to be drawn: stop at -10 mm.",)


def test_an_event_has_its_letter_in_the_plot_and_its_words_below() -> None:
    made = shelf()
    made.journal(15, ("construction", {"event": "blast", "at": stamp(day(14)), "note": "round 7"}))
    part = chord(made.job)
    assert "a" in drawn(part)
    assert part.events == ("a: 2031-05-18 blast (round 7)",)


def test_a_new_tape_is_a_line_in_the_plot_and_a_sentence_of_what_it_carries() -> None:
    one_tape = chord(Shelf(route_with(), shelf().logs[:2]).job)
    joined = chord(shelf().job)
    dash_dotted = r"stroke-dasharray: [0-9.]+,[0-9.]+,[0-9.]+,[0-9.]+"
    assert len(re.findall(dash_dotted, joined.plots[0].svg)) == 1
    assert not re.findall(dash_dotted, one_tape.plots[0].svg)
    assert "tape T2" in joined.segments[1]
    assert "carried over from segment 1 by the last value before" in joined.segments[1]


def test_movement_is_drawn_against_the_face_where_its_chainage_was_booked() -> None:
    assert len(chord(shelf().job).plots) == 1
    part = chord(shelf(face=True).job)
    assert len(part.plots) == 2
    assert "by distance from the face, m" in drawn(part, 1)
    assert "4 readings" in part.plots[1].text


def test_the_text_of_a_plot_says_what_the_plot_shows() -> None:
    part = chord(shelf().job)
    assert part.plots[0].text.startswith("Movement of chord L-R at station A by date. 4 readings from 2031-05-04 to")
    assert "negative is closing" in part.plots[0].text
