"""Many crews, laptops and sites: logs gathered, datasets side by side, the README's queries run as they are printed.

Each query has to give for every reading that counts what the command `history` gives.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from shutil import copytree
from typing import Any

import duckdb
import pytest

from fieldtui.cli import main
from fieldtui.demo import open_or_lay_demo
from fieldtui.route import load_route
from harness.jobs import Ticking, answer_start, begin, book_chord, lay, lay_shipped, with_past
from harness.sheets import row, sheet

ROOT = Path(__file__).parents[2]
WALKED = ROOT / "tests" / "job" / "golden" / "walked"
MILLIONTH = 2e-6  # exports write a millionth of the small unit; a difference of two of them may be two off
Key = tuple[str, str, str, int]
Told = dict[Key, tuple[float | None, float | None, str | None, str | None]]


def printed(language: str) -> str:
    """The one block of this language under the README's heading."""
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    (section,) = re.findall(r"^## Past one machine\n(.*?)^## ", text, re.M | re.S)
    (block,) = re.findall(rf"```{language}\n(.*?)```", section, re.S)
    return str(block)


def by_duckdb(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Told:
    monkeypatch.chdir(folder)
    query = duckdb.sql(printed("sql"))
    return told(dict(zip(query.columns, one, strict=True)) for one in query.fetchall())


def by_dask(folder: Path) -> Told:
    """In a process of its own: what this program holds of pandas and threads is no part of the question."""
    more = "print(found.compute().to_json(orient='records', double_precision=15, date_unit='ms'))\n"
    ran = subprocess.run(
        [sys.executable, "-W", "ignore", "-c", printed("python") + more],
        cwd=folder,
        capture_output=True,
        text=True,
        check=True,
    )
    return told(json.loads(ran.stdout))


def told(rows: Any) -> Told:
    found: Told = {}
    for one in rows:
        at = one["time"]
        moment = int(at.timestamp() * 1000) if isinstance(at, datetime) else int(at)
        key = (one["route"], one["station"], one["chord"], moment)
        assert key not in found
        found[key] = (one["since_last"], one["since_baseline"], one["level"], one["level_name"])
    return found


def by_history(path: Path, capsys: pytest.CaptureFixture[str], *more: str) -> Told:
    capsys.readouterr()
    assert main(["history", str(path), "--json", *more]) == 0
    rows = [json.loads(line) for line in capsys.readouterr().out.splitlines()]
    name = load_route(path).name
    counting: list[Mapping[str, Any]] = [
        {**one, "route": name, "since_last": one["change"], "time": datetime.fromisoformat(one["time"])}
        for one in rows
        if one["kind"] == "reading"
    ]
    return told(counting)


def same(found: Told, known: Told) -> None:
    assert found.keys() == known.keys()
    for key, figures in known.items():
        assert found[key][2:] == figures[2:], key
        for one, other in zip(found[key][:2], figures[:2], strict=True):
            assert (one is None) == (other is None), key
            assert one is None or other is None or abs(one - other) < MILLIONTH, key


def exported(path: Path, sites: Path, *more: str) -> None:
    assert main(["export", str(path), "--to", "parquet", "--out", str(sites / path.stem), *more]) == 0


def a_us_job(folder: Path) -> Path:
    """Four days in a cavern, in inches; one chord closes by an inch and a half and passes a level."""
    path = lay_shipped(folder, "us-cavern")
    walk = list(load_route(path).walk())
    lines = []
    for day in range(4):
        for place, (station, chord) in enumerate(walk):
            shown = Decimal("0.750") - (Decimal("0.15") * day if place == 0 else Decimal("0.002") * day)
            dials = [f"{shown + Decimal(step) / 1000:.3f}" for step in range(3)]
            at = 2880 * day + 3 * place
            lines.append(row(f"s{day}", at, station.name, chord.name, str(60 + place), dials, "61.0"))
    (folder / "sheet.csv").write_text(sheet(*lines))
    assert main(["book", str(path), str(folder / "sheet.csv")]) in (0, 1)
    return path


def the_demo(folder: Path) -> Path:
    return open_or_lay_demo(folder / "demo", datetime(2031, 6, 1, tzinfo=UTC))[0]


def a_neighbour(folder: Path) -> Path:
    """A heading whose stations and chords have the names of those walked by keys, read in the same weeks."""
    (folder / "neighbour").mkdir()
    path = lay(folder / "neighbour").rename(folder / "neighbour" / "neighbour.toml")
    path.write_text(path.read_text().replace('name = "Test heading"', 'name = "Neighbour"'))
    return with_past(path, before=datetime(2031, 5, 15, tzinfo=UTC), surveys=10)


def walked_by_keys(folder: Path) -> Path:
    """Tapes changed, an anchor replaced, figures set right, two crews, entries struck: see `tests/job`."""
    return Path(copytree(WALKED, folder / "walked")) / "heading.toml"


def test_sites_side_by_side_give_what_each_history_gives(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    known: Told = {}
    for job in (the_demo, a_us_job, a_neighbour, walked_by_keys):
        path = job(tmp_path)
        exported(path, tmp_path / "sites")
        own = by_history(path, capsys)
        assert len(own) > 20
        assert {figures[2] for figures in own.values()} >= {None, "below"}
        known |= own
    assert len({key[0] for key in known}) == 4
    assert "above" in {figures[2] for figures in known.values()}
    same(by_duckdb(tmp_path, monkeypatch), known)
    same(by_dask(tmp_path), known)


def test_two_laptops_come_together(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two crews walk one route on two laptops, by turns; neither has the other's logs until they are gathered."""
    laptops = [lay(tmp_path / name) for name in ("one", "two") if not (tmp_path / name).mkdir()]
    for day in range(4):
        walk = begin(laptops[day % 2], Ticking(datetime(2031, 5, 4, 2, tzinfo=UTC) + timedelta(days=day)))
        answer_start(walk)
        while walk.step.target is not None and walk.step.target.is_chord:
            hole = {"L-R": "320", "L-K": "240"}[walk.step.target.key[1]]
            book_chord(walk, hole, *(f"{12.30 - 0.2 * day + step / 100:.2f}" for step in range(3)))
        walk.close()
    gathered = tmp_path / "gathered"
    assert main(["gather", *(str(path.parent / "logs") for path in laptops), "--into", str(gathered)]) == 0
    exported(laptops[0], tmp_path / "sites", "--logs", str(gathered))
    known = by_history(laptops[0], capsys, "--logs", str(gathered))
    assert len(known) == 12
    assert len(by_history(laptops[0], capsys)) == 6
    same(by_duckdb(tmp_path, monkeypatch), known)
    same(by_dask(tmp_path), known)
    # each day's change is counted from the day before, which the other crew read
    assert [figures[0] for figures in known.values()][-1] == pytest.approx(-0.2, abs=0.001)
