"""The Parquet dataset, read as it is by two other programs: the same rows and figures as the CSV."""

from __future__ import annotations

import csv
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import duckdb
import pyarrow.parquet as parquet
import pytest

from fieldtui.cli import main
from fieldtui.handover import dataset
from fieldtui.handover.texts import original
from fieldtui.paper.cells import unguarded
from harness.hostile import hostile_job
from harness.jobs import lay, nothing_read, with_past
from harness.sheets import job_of

TABLES = ("readings", "chords", "stations", "instruments", "notes")


def exported(path: Path, to: str = "parquet", *more: str) -> Path:
    out = path.parent / to
    assert main(["export", str(path), "--to", to, "--out", str(out), *more]) == nothing_read(path)
    return out


def where(folder: Path, name: str) -> str:
    return f"{folder}/readings/**/*.parquet" if name == "readings" else f"{folder}/{name}.parquet"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Five surveys, two of them in April."""
    return with_past(lay(tmp_path), before=datetime(2031, 5, 4, 2, 0, tzinfo=UTC))


@pytest.mark.parametrize("seed", [None, *range(6)])
def test_every_cell_is_that_of_the_csv(tmp_path: Path, path: Path, seed: int | None) -> None:
    job = path if seed is None else hostile_job(tmp_path / "hostile", seed)
    folder, tables = exported(job), exported(job, "csv")
    for name in TABLES:
        query = duckdb.sql(f"select * from '{where(folder, name)}'")
        rows = [dict(zip(query.columns, row, strict=True)) for row in query.fetchall()]
        with (tables / f"{name}.csv").open(encoding="utf-8", newline="") as file:
            plain = list(csv.DictReader(file))
        assert sorted(map(key, rows)) == sorted(map(key, plain))
        by_key = {key(row): row for row in rows}
        for one in plain:
            for column, cell in one.items():
                assert same(by_key[key(one)][column], cell), (name, column)


def key(row: dict[str, object]) -> str:
    """What names a row in all tables."""
    names = ("log", "seq", "station", "chord", "kind", "serial", "version")
    given = [unguarded(str(row[name])) for name in names if name in row and row[name] is not None]
    return " ".join(one for one in given if one)


def same(value: object, cell: str) -> bool:
    if value is None or isinstance(value, bool):
        return cell == ("" if value is None else str(value).lower())
    if isinstance(value, str):
        return value == unguarded(cell)
    if isinstance(value, datetime):
        return abs((value - datetime.fromisoformat(cell)).total_seconds()) < 0.001
    # every digit that the CSV has comes out of the number again
    return (
        f"{value:.{len(cell.partition('.')[2])}f}" == cell if isinstance(value, float) else int(str(value)) == int(cell)
    )


def test_a_month_is_a_folder_and_is_found_by_its_name(path: Path) -> None:
    folder = exported(path)
    assert [part.name for part in sorted((folder / "readings").iterdir())] == ["month=2031-04", "month=2031-05"]
    query = f"select month, count(*) from '{where(folder, 'readings')}' where station is not null group by month"
    assert sorted(duckdb.sql(query).fetchall()) == [("2031-04", 6), ("2031-05", 9)]


def test_dask_reads_it_as_it_is(path: Path) -> None:
    folder = exported(path)
    code = (
        "import sys, dask.dataframe as frames; read = frames.read_parquet(sys.argv[1]);"
        "print(len(read), round(read.length[read.chord == 'L-R'].mean().compute(), 6))"
    )
    ran = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", code, str(folder / "readings")],
        capture_output=True,
        text=True,
        check=True,
    )
    query = f"select count(*), round(avg(length) filter (chord = 'L-R'), 6) from '{where(folder, 'readings')}'"
    (known,) = duckdb.sql(query).fetchall()
    assert ran.stdout.split() == [str(figure) for figure in known]


def test_columns_say_what_they_are(path: Path) -> None:
    schema = parquet.read_schema(exported(path) / "readings" / "month=2031-05" / "part-0.parquet")
    assert schema.field("length").metadata == {b"description": b"corrected", b"unit": b"mm"}
    assert str(schema.field("time").type) == "timestamp[us, tz=UTC]"


def test_an_empty_job_has_its_columns(tmp_path: Path) -> None:
    folder = exported(lay(tmp_path))
    assert duckdb.sql(f"select length from '{where(folder, 'readings')}'").fetchall() == []


@pytest.mark.parametrize("seed", range(6))
def test_texts_come_back(tmp_path: Path, seed: int) -> None:
    path = hostile_job(tmp_path, seed)
    told = duckdb.sql(f"select text from '{exported(path)}/notes.parquet' where kind = 'remark'").fetchall()
    known = [note.text for survey in job_of(path).surveys for note in survey.state.notes]
    assert sorted(original(text) for (text,) in told) == sorted(known)


def test_the_same_logs_give_the_same_bytes(path: Path) -> None:
    assert files(exported(path)) == files(exported(path))


def files(folder: Path) -> dict[str, bytes]:
    return {str(one.relative_to(folder)): one.read_bytes() for one in folder.rglob("*") if one.is_file()}


def test_stopped_in_the_middle_the_earlier_one_stays(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = files(exported(path))

    def stopped(*_: object) -> Iterator[tuple[str, object]]:
        yield "readings/month=2031-04/part-0.parquet", []
        raise KeyboardInterrupt

    monkeypatch.setattr(dataset, "_months", stopped)
    assert main(["export", str(path), "--to", "parquet", "--out", str(path.parent / "parquet")]) == 2
    assert files(path.parent / "parquet") == before
    assert not [one for one in path.parent.iterdir() if one.name.startswith(".")]


def test_without_pyarrow_it_says_how_to_get_it(
    path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "pyarrow", None)
    assert main(["export", str(path), "--to", "parquet"]) == 2
    assert "-m pip install pyarrow" in capsys.readouterr().err
    assert not (path.parent / "heading-parquet").exists()
