"""The folder of tables: whole or not at all, and never over anything that is not ours."""

from __future__ import annotations

import csv
import io
import json
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path
from typing import TextIO

import pytest

from fieldtui.errors import FieldError
from fieldtui.handover import package
from fieldtui.handover.columns import Column, Sheet, as_schema, figure, write_csv
from fieldtui.handover.package import save_csv
from fieldtui.handover.texts import original
from fieldtui.paper.cells import unguarded
from fieldtui.progress import silent
from fieldtui.route import METRIC, US, Route, load_route
from harness.jobs import lay

COLUMNS = (
    Column("text", "string", "words"),
    Column("figure", "number", "a figure", "small"),
    Column("count", "integer", "a count"),
    Column("yes", "boolean", "yes or no"),
    Column("time", "datetime", "when"),
)


def sheet(*rows: dict[str, object]) -> Sheet:
    return Sheet("things", "Things", COLUMNS, rows, ("text",))  # type: ignore[arg-type]


@pytest.fixture
def route(tmp_path: Path) -> Route:
    (tmp_path / "route").mkdir()
    return load_route(lay(tmp_path / "route"))


def as_csv(one: Sheet) -> str:
    text = io.StringIO(newline="")
    write_csv(one, text)
    return text.getvalue()


def save_package(folder: Path, route: Route, sheets: list[Sheet]) -> None:
    save_csv(folder, route, sheets, silent)


def read(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_cells_are_plain_and_exact() -> None:
    at = datetime(2031, 5, 4, 2, 0, 0, 250000, tzinfo=UTC)
    text = as_csv(sheet({"text": "A", "figure": Decimal("-0.000000120"), "count": 3, "yes": False, "time": at}))
    assert text.endswith("\r\n")
    assert read(text) == [
        {"text": "A", "figure": "-0.000000120", "count": "3", "yes": "false", "time": "2031-05-04T02:00:00.250+00:00"}
    ]


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "'"])
def test_no_cell_of_text_starts_a_formula_and_the_text_comes_back(start: str) -> None:
    (row,) = read(as_csv(sheet({"text": f"{start}1+1"})))
    assert row["text"] == f"'{start}1+1"
    assert unguarded(row["text"]) == f"{start}1+1"


@pytest.mark.parametrize("sign", ["\r", "\x1b[31m", "\0", "\u202e", "\ud800", "\x85"])
def test_no_cell_of_text_acts_on_a_screen_and_the_text_comes_back(sign: str) -> None:
    (row,) = read(as_csv(sheet({"text": f"{sign}1+1"})))
    assert row["text"].isprintable()
    assert original(row["text"]) == f"{sign}1+1"


def test_a_negative_figure_stays_a_number() -> None:
    assert read(as_csv(sheet({"text": "A", "figure": -1.5})))[0]["figure"] == "-1.5"


def test_what_is_not_there_is_empty() -> None:
    assert read(as_csv(sheet({"text": "A", "figure": None})))[0] == {
        "text": "A",
        "figure": "",
        "count": "",
        "yes": "",
        "time": "",
    }


@pytest.mark.parametrize(
    ("typed", "number"), [("12,340", "12.340"), ("+12.3", "12.3"), (" 12. ", "12"), (",5", "0.5"), ("-3", "-3")]
)
def test_a_typed_figure_keeps_its_digits(typed: str, number: str) -> None:
    assert f"{figure(typed):f}" == number


def test_a_figure_that_was_not_taken_is_none() -> None:
    assert figure("") is None


def test_units_are_ucum_codes() -> None:
    unit = {units.small: as_schema(sheet(), units)["fields"][1]["unit"] for units in (METRIC, US)}
    assert unit == {"mm": "mm", "in": "[in_i]"}


def test_a_package_is_written_with_its_description(tmp_path: Path, route: Route) -> None:
    save_package(tmp_path / "out", route, [sheet({"text": "A"})])
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["datapackage.json", "things.csv"]
    told = json.loads((tmp_path / "out" / "datapackage.json").read_text())
    assert told["title"] == "Test heading"
    assert [resource["path"] for resource in told["resources"]] == ["things.csv"]


def test_an_earlier_package_is_replaced_whole(tmp_path: Path, route: Route) -> None:
    other = Sheet("others", "Others", COLUMNS, ())
    save_package(tmp_path / "out", route, [sheet({"text": "A"}), other])
    save_package(tmp_path / "out", route, [sheet({"text": "B"})])
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["datapackage.json", "things.csv"]
    assert "B" in (tmp_path / "out" / "things.csv").read_text()
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []


def test_a_table_that_somebody_has_worked_in_is_not_written_over(tmp_path: Path, route: Route) -> None:
    save_package(tmp_path / "out", route, [sheet({"text": "A"})])
    with (tmp_path / "out" / "things.csv").open("a") as file:
        file.write("my own line\r\n")
    with pytest.raises(FieldError, match=r"Somebody has changed .*things\.csv; nothing was written"):
        save_package(tmp_path / "out", route, [sheet({"text": "B"})])


def test_nothing_else_is_written_over(tmp_path: Path, route: Route) -> None:
    save_package(tmp_path / "ours", route, [sheet()])
    (tmp_path / "ours" / "my remarks.txt").write_text("mine")
    (tmp_path / "theirs").mkdir()
    (tmp_path / "theirs" / "datapackage.json").write_text('{"resources": []}')
    (tmp_path / "empty").mkdir()
    (tmp_path / "file").write_text("x")
    (tmp_path / "link").symlink_to(tmp_path / "empty")
    for name in ("ours", "theirs", "empty", "file", "link"):
        before = sorted(str(path) for path in tmp_path.rglob("*"))
        with pytest.raises(FieldError, match="nothing was written"):
            save_package(tmp_path / name, route, [sheet()])
        assert sorted(str(path) for path in tmp_path.rglob("*")) == before


@pytest.mark.parametrize("error", [KeyboardInterrupt(), OSError(28, "No space left on device")])
@pytest.mark.parametrize("already", [True, False])
@pytest.mark.parametrize("fails", [1, 2])
def test_stopped_in_the_middle_nothing_half_is_left(
    tmp_path: Path, route: Route, monkeypatch: pytest.MonkeyPatch, error: BaseException, already: bool, fails: int
) -> None:
    out = tmp_path / "out"
    if already:
        save_package(out, route, [sheet({"text": "A"})])
    before = {path: path.read_bytes() for path in out.rglob("*")} if already else {}
    calls = 0

    def failing(one: Sheet, file: TextIO, *_: object) -> None:
        nonlocal calls
        calls += 1
        file.write("half a line")
        if calls == fails:
            raise error

    monkeypatch.setattr(package, "write_csv", failing)
    with pytest.raises((KeyboardInterrupt, FieldError)):
        save_package(out, route, [sheet({"text": "B"}), Sheet("others", "Others", COLUMNS, ())])
    assert {path: path.read_bytes() for path in out.rglob("*")} == before
    assert out.exists() == already
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []


def test_stopped_between_the_old_and_the_new_the_old_is_put_back(
    tmp_path: Path, route: Route, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    save_package(out, route, [sheet({"text": "A"})])
    before = (out / "things.csv").read_bytes()
    rename, calls = Path.rename, 0

    def failing(self: Path, target: Path) -> Path:
        nonlocal calls
        calls += 1
        if calls == 2:
            raise KeyboardInterrupt
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", failing)
    with pytest.raises(KeyboardInterrupt):
        save_package(out, route, [sheet({"text": "B"})])
    assert (out / "things.csv").read_bytes() == before
    assert [path.name for path in tmp_path.iterdir() if path.name.startswith(".")] == []


def test_the_same_tables_give_the_same_bytes(tmp_path: Path, route: Route) -> None:
    for name in ("one", "two"):
        save_package(tmp_path / name, route, [sheet({"text": "A"})])
    for file in (tmp_path / "one").iterdir():
        assert file.read_bytes() == (tmp_path / "two" / file.name).read_bytes()
