"""The blank sheet: what is printed, and what can be filled in and booked."""

from __future__ import annotations

import csv
import io
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

from fieldtui.cli import main
from fieldtui.errors import FieldError
from fieldtui.paper.blank import blank_csv
from fieldtui.paper.page import blank_html
from fieldtui.paper.saving import save_new
from fieldtui.route import load_route
from harness.jobs import lay, lay_shipped
from harness.sheets import answers, log_files

NASTY = '</td><script>alert("x")</script>&amp;'


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return lay(tmp_path, control=True)


def filled(text: str) -> str:
    """The blank sheet as somebody would fill it in: every row, three minutes apart."""
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    for place, row in enumerate(rows):
        row |= {"survey": "filled", "time": f"2031-05-04 04:{place:02}"}
        row |= (
            {"dial_1": "0.01"} if row["chord"] == "zero" else {"dial_1": "20.11", "dial_2": "20.12", "dial_3": "20.10"}
        )
        row |= {} if row["chord"] == "zero" else {"hole": "199", "temperature": "12.0"}
    out = io.StringIO()
    writer = csv.DictWriter(out, list(rows[0]))
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def test_the_blank_csv_has_a_row_for_everything_in_the_order_of_the_walk(path: Path) -> None:
    text = blank_csv(load_route(path))
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert [(row["station"], row["chord"]) for row in rows] == [
        ("", "zero"),
        ("", "frame"),
        ("A", "L-R"),
        ("A", "L-K"),
        ("B", "L-R"),
        ("", "frame"),
    ]
    assert {row["tape"] for row in rows} == {"T1"}
    assert text.count("\r\n") == text.count("\n")


def test_the_blank_csv_filled_in_is_booked(path: Path) -> None:
    found = answers(path, filled(blank_csv(load_route(path))))
    assert [one["done"] for one in found] == ["booked"] * 6
    assert all(one["proven"] for one in found)


@pytest.mark.parametrize("name", ["adit", "highway", "us-cavern"])
def test_every_shipped_route_can_be_filled_in(tmp_path: Path, name: str) -> None:
    shipped = lay_shipped(tmp_path, name)
    found = answers(shipped, filled(blank_csv(load_route(shipped))))
    assert {one["done"] for one in found} == {"booked"}


def test_a_stations_name_cannot_start_a_formula_and_is_read_back(path: Path) -> None:
    path.write_text(path.read_text().replace('name = "B"', 'name = "=B"'))
    text = blank_csv(load_route(path))
    assert ",=B," not in text
    assert [one["station"] for one in answers(path, filled(text)) if one["station"] not in (None, "A")] == ["=B"]


def test_the_blank_csv_left_empty_books_nothing(path: Path) -> None:
    found = answers(path, blank_csv(load_route(path)))
    assert {one["done"] for one in found} == {"not booked"}
    assert log_files(path) == []


class _Page(HTMLParser):
    """Tags, attributes and text of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.texts: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_data(self, data: str) -> None:
        self.texts.append(data.strip())


def test_the_printed_sheet_names_stations_in_order_with_their_cautions_and_units(path: Path) -> None:
    texts = " | ".join(_Page(blank_html(load_route(path))).texts)
    for one, other in [("Station A", "Loose block above the left anchor."), ("A L-R", "A L-K"), ("A L-K", "Station B")]:
        assert texts.index(one) < texts.index(other)
    assert "into the note (typed off: column outcome)" in texts
    for needed in ("Hole", "Dial 1 (mm)", "Dial 3 (mm)", "Tape (degC)", "Note", "Reader: name", "Recorder: name"):
        assert needed in texts


def test_the_printed_sheet_has_no_script_and_refers_to_nothing_outside(path: Path) -> None:
    text = blank_html(load_route(path))
    page = _Page(text)
    assert not {"script", "link", "img", "iframe", "object", "base"} & set(page.tags)
    assert not [value for name, value in page.attributes if name in ("src", "href") or name.startswith("on")]
    assert "url(" not in text
    assert "@import" not in text
    assert ("content", "default-src 'none'; style-src 'unsafe-inline'") in page.attributes
    assert not re.search(r"size:\s*(A4|letter)", text, re.IGNORECASE), "the printer's paper decides"


def test_what_the_route_says_is_text_wherever_it_stands(path: Path) -> None:
    text = path.read_text()
    for old in ("Test heading", "Loose block above the left anchor."):
        text = text.replace(old, NASTY.replace('"', "'"))
    path.write_text(text)
    page = _Page(blank_html(load_route(path)))
    assert "script" not in page.tags
    assert any("<script>" in one for one in page.texts)


def test_the_units_are_the_routes(tmp_path: Path) -> None:
    text = blank_html(load_route(lay_shipped(tmp_path, "us-cavern")))
    assert "Dial 1 (in)" in text
    assert "Tape (degF)" in text


def test_nothing_is_written_over_a_file(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = path.parent / "sheet.html"
    assert main(["sheet", str(path), "--out", str(out)]) == 0
    first = out.read_bytes()
    assert main(["sheet", str(path), "--to", "csv", "--out", str(out)]) == 2
    assert out.read_bytes() == first
    assert "nothing is written over it" in capsys.readouterr().err


def test_a_file_that_cannot_be_finished_is_not_left_half(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(FieldError, match="No space left"):
        save_new(path.parent / "sheet.html", "text")
    assert not (path.parent / "sheet.html").exists()


def test_the_command_gives_the_sheet_on_the_screen(path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["sheet", str(path), "--to", "csv"]) == 0
    assert capsys.readouterr().out.startswith("survey,time,station,chord,hole,")


def test_the_dial_zero_stands_on_the_sheet_as_often_as_the_route_states(tmp_path: Path) -> None:
    route = load_route(lay(tmp_path, more="zero_check_every = 1", control=True))
    chords = [row["chord"] for row in csv.DictReader(io.StringIO(blank_csv(route), newline=""))]
    assert chords == ["zero", "frame", "L-R", "L-K", "zero", "L-R", "zero", "frame"]
