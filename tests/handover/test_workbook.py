"""The workbook, opened again by another library: the same figures to the last digit written, every text a text."""

from __future__ import annotations

import csv
import zipfile
from collections.abc import Mapping
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from fieldtui.cli import main
from fieldtui.errors import FieldError
from fieldtui.handover import workbook
from fieldtui.handover.columns import Column, Sheet
from fieldtui.handover.texts import original
from fieldtui.handover.workbook import LONGEST, save_workbook
from fieldtui.paper.cells import unguarded
from fieldtui.progress import silent
from fieldtui.route import Route, load_route
from harness.jobs import lay, nothing_read, with_past
from harness.sheets import row, sheet

MADE = datetime(2031, 5, 4, 2, 0, tzinfo=UTC)
COLUMNS = (
    Column("text", "string", "words"),
    Column("figure", "number", "a figure", "small"),
    Column("time", "datetime", "when"),
    Column("day", "date", "which day"),
    Column("yes", "boolean", "yes or no"),
)


def route_in(folder: Path) -> Route:
    folder.mkdir(exist_ok=True)
    return load_route(lay(folder))


def opened(path: Path, *rows: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The rows as another library reads them."""
    things = Sheet("things", "Things", COLUMNS, rows, ("text",))
    save_workbook(path, route_in(path.parent / "route"), [things], MADE, silent)
    return read(path, "things")


def read(path: Path, name: str) -> list[dict[str, Any]]:
    book = load_workbook(path)
    head, *rows = book[name].iter_rows()
    assert {cell.data_type for line in rows for cell in line} <= {"n", "s", "d", "b", "inlineStr"}
    return [{str(one.value).split(" [")[0]: cell for one, cell in zip(head, line, strict=True)} for line in rows]


def exported(path: Path, to: str) -> Path:
    out = path.parent / ("book.xlsx" if to == "xlsx" else "tables")
    assert main(["export", str(path), "--to", to, "--out", str(out)]) == nothing_read(path)
    return out


def test_every_figure_is_that_of_the_csv_to_the_last_digit(tmp_path: Path) -> None:
    path = with_past(lay(tmp_path), before=datetime(2031, 5, 4, 2, 0, tzinfo=UTC))
    book, tables = exported(path, "xlsx"), exported(path, "csv")
    compared = 0
    for name in ("readings", "chords", "stations", "instruments", "notes"):
        rows = read(book, name)
        with (tables / f"{name}.csv").open(encoding="utf-8", newline="") as file:
            plain = list(csv.DictReader(file))
        assert len(rows) == len(plain)
        for one, other in zip(rows, plain, strict=True):
            for column, cell in one.items():
                assert told(cell) == plainly(other[column], cell.value), (name, column)
                compared += 1
    assert compared > 1500


def told(cell: Any) -> Any:
    """What a cell shows: a figure with the digits of its format."""
    value = cell.value
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return value
    if isinstance(value, datetime):
        return value.date() if cell.number_format == "yyyy-mm-dd" else value
    digits = len(cell.number_format.partition(".")[2])
    return f"{Decimal(repr(value)):.{digits}f}"


def plainly(text: str, like: Any) -> Any:
    if not text:
        return None
    if isinstance(like, bool):
        return text == "true"
    if isinstance(like, datetime):
        at = datetime.fromisoformat(text)
        return at.astimezone(UTC).replace(tzinfo=None) if "T" in text else at.date()
    return unguarded(text) if isinstance(like, str) else text


@pytest.mark.parametrize("figure", ["24.340", "-0.000001", "8001.123456", "0", "999999999.999999", "123456789012.345"])
def test_a_figure_keeps_its_digits(tmp_path: Path, figure: str) -> None:
    (one,) = opened(tmp_path / "book.xlsx", {"figure": Decimal(figure)})
    assert told(one["figure"]) == figure


@pytest.mark.parametrize("figure", ["0.1234567890123456", "1234567890.1234567"])
def test_a_figure_with_more_digits_than_a_number_has_is_a_text(tmp_path: Path, figure: str) -> None:
    (one,) = opened(tmp_path / "book.xlsx", {"figure": Decimal(figure)})
    assert one["figure"].value == figure


def test_times_are_in_utc_and_the_head_says_so(tmp_path: Path) -> None:
    at = datetime.fromisoformat("2031-05-04T04:00:00.250+02:00")
    (one,) = opened(tmp_path / "book.xlsx", {"time": at, "day": date(2031, 5, 4), "yes": True})
    assert one["time"].value == datetime(2031, 5, 4, 2, 0, 0, 250000)  # noqa: DTZ001
    assert one["day"].value == datetime(2031, 5, 4)  # noqa: DTZ001
    assert one["yes"].value is True
    heads = [cell.value for cell in load_workbook(tmp_path / "book.xlsx")["things"][1]]
    assert heads == ["text", "figure [mm]", "time [UTC]", "day", "yes"]


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "{=SUM(A1)}",
        "http://example.invalid/",
        "internal:readings!A1",
        "<r><t>red</t></r>",
        "_x0041_",
        "&amp;<b>]]>",
        " both ends ",
        "two\nlines",
        "0319",
        "#REF!",
        "\r\n\0\x1b[2J\u202e\ud800\ufffe",
    ],
)
def test_every_text_is_a_text_and_comes_back(tmp_path: Path, text: str) -> None:
    (one,) = opened(tmp_path / "book.xlsx", {"text": text})
    assert one["text"].data_type in ("s", "inlineStr")
    assert original(one["text"].value) == text


@given(st.lists(st.text(st.characters(codec=None), min_size=1), min_size=20, max_size=20))
@settings(derandomize=True, max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_is_typed_comes_back(tmp_path: Path, texts: list[str]) -> None:
    path = tmp_path / "book.xlsx"
    path.unlink(missing_ok=True)
    rows = opened(path, *({"text": text} for text in texts))
    assert [original(one["text"].value) for one in rows] == texts


def test_a_text_that_no_cell_takes_is_refused_and_named(tmp_path: Path) -> None:
    with pytest.raises(FieldError, match=r"32,768 letters.*nothing was written.*--to csv"):
        opened(tmp_path / "book.xlsx", {"text": "x" * (LONGEST + 1)})
    assert [path.name for path in tmp_path.iterdir()] == ["route"]


def test_more_rows_than_a_sheet_takes_are_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(workbook, "MOST_ROWS", 3)
    with pytest.raises(FieldError, match="takes 3 rows"):
        opened(tmp_path / "book.xlsx", *({"text": str(place)} for place in range(3)))


def test_the_newest_reading_of_every_chord_and_what_came_after(tmp_path: Path) -> None:
    path = with_past(lay(tmp_path), before=datetime(2031, 5, 4, 2, 0, tzinfo=UTC), surveys=2)
    unsafe = sheet(row("s9", 60, "A", "L-R", "", (), "") + ",unsafe", header=sheet().strip() + ",outcome")
    (tmp_path / "sheet.csv").write_text(unsafe)
    assert main(["book", str(path), str(tmp_path / "sheet.csv")]) in (0, 1)
    rows = read(exported(path, "xlsx"), "latest")
    assert [(one["station"].value, one["chord"].value) for one in rows] == [("A", "L-R"), ("A", "L-K"), ("B", "L-R")]
    assert [one["booked_later"].value for one in rows] == ["unsafe", None, None]
    assert all(one["time"].value.date() == date(2031, 5, 3) for one in rows)


def test_an_empty_job_has_its_sheets(tmp_path: Path) -> None:
    book = load_workbook(exported(lay(tmp_path), "xlsx"))
    assert book.sheetnames == ["about", "latest", "readings", "chords", "stations", "instruments", "notes"]
    assert [line[2].value for line in book["latest"].iter_rows(min_row=2)] == [100, 100, 120]


def test_the_same_logs_give_the_same_bytes_and_replace_the_earlier_workbook(tmp_path: Path) -> None:
    path = with_past(lay(tmp_path), before=MADE, surveys=1)
    first = exported(path, "xlsx").read_bytes()
    assert exported(path, "xlsx").read_bytes() == first


def test_a_job_without_readings_gives_the_same_bytes_and_a_saved_one_is_kept(tmp_path: Path) -> None:
    path = lay(tmp_path)
    book = exported(path, "xlsx")
    first = book.read_bytes()
    assert load_workbook(book).properties.created == datetime(1980, 1, 1)  # noqa: DTZ001
    assert exported(path, "xlsx").read_bytes() == first
    load_workbook(book).save(book)
    assert main(["export", str(path), "--to", "xlsx", "--out", str(book)]) == 2


def test_a_workbook_that_somebody_saved_is_not_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = with_past(lay(tmp_path), before=datetime(2031, 5, 4, 2, 0, tzinfo=UTC), surveys=1)
    book = exported(path, "xlsx")
    load_workbook(book).save(book)
    for other in ("theirs.xlsx", "text.xlsx"):
        (tmp_path / other).write_text("mine")
    with zipfile.ZipFile(tmp_path / "theirs.xlsx", "w") as file:
        file.writestr("docProps/core.xml", "<a/>")
    for there in (book, tmp_path / "theirs.xlsx", tmp_path / "text.xlsx", tmp_path):
        before = there.read_bytes() if there.is_file() else b""
        assert main(["export", str(path), "--to", "xlsx", "--out", str(there)]) == 2
        assert "nothing was written" in capsys.readouterr().err
        assert (there.read_bytes() if there.is_file() else b"") == before


def test_stopped_in_the_middle_nothing_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = lay(tmp_path)
    before = exported(path, "xlsx").read_bytes()
    names = {one.name for one in tmp_path.iterdir()}

    def stopped(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(workbook._Writer, "_write_text", stopped)
    assert main(["export", str(path), "--to", "xlsx", "--out", str(tmp_path / "book.xlsx")]) == 2
    assert (tmp_path / "book.xlsx").read_bytes() == before
    assert {one.name for one in tmp_path.iterdir()} == names
