"""The section grows beside the questions; what a layout sees is shown alone, or beside another."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldtui.laying.desk import LayDesk, WriteDesk
from fieldtui.laying.layouts import CHORDS, LAYOUTS, OWN, proposed
from fieldtui.laying.shapes import Outline
from fieldtui.laying.sight_desk import SightDesk
from fieldtui.tui.lines import text_of
from fieldtui.tui.start import drawing
from harness.laying import DRIFT, lay_out, press

OWN_TWO = {
    **DRIFT, "group0.layout": "6", "group0.anchor.0.name": "A", "group0.anchor.0.across": "-3",
    "group0.anchor.0.up": "1.2", "group0.anchor.1.name": "B", "group0.anchor.1.across": "3",
    "group0.anchor.1.up": "1.4", "group0.chord.0": "A-B",
}  # fmt: skip


def shown(desk: object, width: int = 80, height: int = 24) -> str:
    return text_of(drawing(desk)(width, height))  # type: ignore[arg-type]


def beside(desk: object) -> str:
    """The right half of a page."""
    return "\n".join(line[46:] for line in shown(desk).split("\n")[1:18])


def test_the_section_grows_anchor_by_anchor(tmp_path: Path) -> None:
    pages = {}
    for key in ("anchor.0.up", "anchor.1.name", "chord.0", "kind"):
        pages[key] = beside(lay_out(tmp_path / f"{key}.toml", OWN_TWO, f"group0.{key}"))
    assert [pages[key].count("o") for key in ("anchor.0.up", "anchor.1.name", "chord.0")] == [0, 1, 2]
    assert "A" in pages["anchor.1.name"]
    assert "....." not in pages["chord.0"]
    assert "#####" in pages["kind"]  # the newest chord, heavy


def test_a_layout_is_drawn_as_soon_as_it_is_chosen(tmp_path: Path) -> None:
    page = shown(lay_out(tmp_path / "drift.toml", DRIFT, "group0.places"))
    assert "L o....." in page
    assert "K" in page


def seen(path: Path, pick: str, layout: str = "4") -> SightDesk:
    desk = lay_out(path, {**DRIFT, "group0.layout": layout}, "group0.taken")
    for sign in pick:
        desk.press(sign, sign)
    desk.press("enter", None)
    assert isinstance(desk.next, SightDesk), desk.message
    return desk.next


@pytest.mark.parametrize(("width", "height"), [(80, 24), (132, 43)])
def test_what_a_layout_sees(tmp_path: Path, width: int, height: int) -> None:
    desk = seen(tmp_path / "drift.toml", "2")
    lines = desk.draw(width, height)
    assert len(lines) == height
    assert {sum(len(text) for text, _ in line) for line in lines} == {width}
    assert "mm ellipses" in text_of(lines)
    assert "L-R    9.00      0.30" in text_of(lines)


def test_all_of_it_can_be_read_in_a_small_terminal(tmp_path: Path) -> None:
    desk = seen(tmp_path / "drift.toml", "2")
    pages = [text_of(desk.draw(80, 24))]
    for _ in range(4):
        desk.press("enter", None)
        pages.append(text_of(desk.draw(80, 24)))
    assert "Expected of two surveys" in pages[-1]
    assert "Expected of two surveys" not in pages[0]
    for _ in range(6):
        desk.press("pageup", None)
        desk.draw(80, 24)
    assert text_of(desk.draw(80, 24)) == pages[0]


def test_two_layouts_side_by_side_are_drawn_to_one_scale(tmp_path: Path) -> None:
    """Five anchors by seven chords and by ten: the larger ellipses set the scale of both."""
    desk = seen(tmp_path / "drift.toml", "6")
    assert desk.names == ["five anchors, seven chords", "five anchors, all ten chords"]
    lines = text_of(desk.draw(80, 24)).split("\n")
    (bars,) = [line for line in lines if "ellipses" in line]
    left, right = bars[:40].strip(), bars[40:].strip()
    assert left == right
    seven, ten = (one.largest for one in desk.seen)
    assert seven is not None
    assert ten is not None
    assert ten.long < seven.long


def test_six_chords_between_five_anchors_give_no_displacements_and_say_so(tmp_path: Path) -> None:
    page = text_of(seen(tmp_path / "drift.toml", "2", "3").draw(132, 43))
    assert "5 anchors need 7 chords" in page
    assert "Anchors can move together in one more way" in " ".join(page.split())


def test_esc_leads_back_to_the_question(tmp_path: Path) -> None:
    desk = seen(tmp_path / "drift.toml", "2")
    desk.press("escape", None)
    assert isinstance(desk.next, LayDesk)
    assert desk.next.ask.key == "group0.taken"


@pytest.mark.parametrize("layout", [one for one in LAYOUTS if one != OWN])
@pytest.mark.parametrize(
    "outline", [Outline.arched(9, 7), Outline.arched(12, 5), Outline.circle(6, 5), Outline.flat(5, 4)]
)
def test_proposed_anchors_lie_on_the_outline(layout: str, outline: Outline) -> None:
    places = proposed(layout, outline, 1.5)
    assert {end for chord in CHORDS[layout] for end in chord.split("-")} == set(places)
    assert len(set(places.values())) == len(places)
    for across, up in places.values():
        assert 0 <= float(up) <= outline.height
        on_wall = abs(float(across)) - outline.wall_at(float(up))[0]
        assert abs(on_wall) < 0.02 or (float(across) == 0 and float(up) == outline.height)


def test_a_haunch_of_an_arch_by_hand() -> None:
    """9 m wide, 7 m high: a half circle of 4.5 m on walls of 2.5 m; half way up the arch is at 45 degrees."""
    across, up = Outline.arched(9, 7).haunch()
    assert (across, up) == pytest.approx((4.5 * 0.5**0.5, 2.5 + 4.5 * 0.5**0.5))


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        ({"tape.0.holes": "100"}, "beyond every tape of this route (2.55 m)"),
        ({}, "beyond reach and pole (3.8 m)"),
        ({"frame.length": "1000"}, "much shorter than the longest chord"),
        ({"frame.name": ""}, "nothing proves the instrument"),
        ({"level.0.name": ""}, "no movement will be told to anybody"),
        (
            {"plant.0.what": "a fan", "plant.0.left": "-1", "plant.0.right": "1", "plant.0.top": "2"},
            "(L-R) crosses where a fan will stand",
        ),
    ],
)
def test_what_is_missing_on_site_stands_on_the_last_page(tmp_path: Path, answers: dict[str, str], words: str) -> None:
    desk = lay_out(tmp_path / "drift.toml", {**DRIFT, **answers})
    assert isinstance(desk, WriteDesk)
    assert words in " ".join(shown(desk).split())
    assert press(desk, "1") is not desk  # advice is no refusal


def test_a_page_of_much_advice_still_shows_its_choices(tmp_path: Path) -> None:
    answers = {**DRIFT, "tape.0.holes": "100", "group0.layout": "5", "frame.length": "1000", "level.0.name": ""}
    page = shown(lay_out(tmp_path / "drift.toml", answers))
    assert "1 write" in page
    assert "0 back" in page


def test_advice_beyond_the_room_is_counted(tmp_path: Path) -> None:
    answers = {**DRIFT, "tape.0.holes": "100", "group0.layout": "5", "frame.length": "1000", "level.0.name": ""}
    desk = lay_out(tmp_path / "drift.toml", answers)
    assert "more lines above" in text_of(drawing(desk)(80, 16))
    assert "more lines above" not in text_of(drawing(desk)(80, 50))
