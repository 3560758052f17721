"""The tour of the README, run as it stands there: its commands, the answers of its tables, the sheet it prints.

`lay` and `walk` are driven in a real terminal of 80 x 24; at a prompt that no row of the table names, Enter alone.
"""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from harness.terminal import Terminal

ROOT = Path(__file__).parents[2]
Rows = list[tuple[str, list[str]]]
LASTS = {"lay": "It is a text file", "walk": "The survey is closed"}
"""What stands on the screen when the table is through."""


def tour() -> str:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    (section,) = re.findall(r"^## The whole job in five minutes.*?\n(.*?)^## ", text, re.M | re.S)
    return str(section)


def commands(text: str) -> Iterator[str]:
    for block in re.findall(r"```sh\n(.*?)```", text, re.S):
        yield from block.splitlines()


def table_after(command: str) -> Rows:
    _, _, rest = tour().partition(f"{command}\n```\n")
    rows = re.findall(r"^\| (.*?) \| (`.*`) \|$", rest.partition("```")[0], re.M)
    return [(asked, re.findall(r"`([^`]*)`", typed)) for asked, typed in rows]


def settled(terminal: Terminal, before: str) -> str:
    """The screen once it is another than before and has come to rest."""
    for _ in range(300):
        if terminal.text() != before:
            break
        terminal.pump(0.1)
    else:
        raise AssertionError(f"nothing happened; the screen is\n{before}")
    text = ""
    while text != terminal.text():
        text = terminal.text()
        terminal.pump(0.4)
    return text


def go_through(terminal: Terminal, rows: Rows, last: str) -> None:
    text = settled(terminal, terminal.wait_for("──").replace("──", ""))
    left = 100
    while last not in text:
        left -= 1
        assert left, f"the table does not lead to “{last}”, with {rows} not asked; the screen is\n{text}"
        # the page of arrival names its chord as well
        here = bool(rows) and rows[0][0] in text and " press Enter" not in text.splitlines()
        for typed in rows.pop(0)[1] if here else [""]:
            terminal.type(f"{typed}\n")
            text = settled(terminal, text)
    assert not rows, f"never asked: {rows}"


def run(command: str, folder: Path) -> tuple[int, str]:
    arguments = command.removeprefix("fieldtui ").split()
    ran = subprocess.run(
        [sys.executable, "-m", "fieldtui", *arguments], cwd=folder, capture_output=True, text=True, check=False
    )
    return ran.returncode, ran.stdout + ran.stderr


def in_a_terminal(command: str, folder: Path) -> None:
    what = command.split()[1]
    with Terminal(*command.split()[1:], cwd=folder) as terminal:
        go_through(terminal, table_after(command), LASTS[what])
        terminal.type(b"\x1b[21~")  # F10
        assert terminal.ended() == 0


def test_the_tour_comes_out_as_it_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))
    (sheet,) = re.findall(r"```csv\n(.*?)```", tour(), re.S)
    (tmp_path / "paper.csv").write_text(sheet)
    said: dict[str, str] = {}
    for command in commands(tour()):
        if command.split()[1] in LASTS:
            in_a_terminal(command, tmp_path)
            continue
        status, said[command] = run(command, tmp_path)
        # 1 is for what needs attention: a chord is overdue
        assert status == (1 if " due " in command else 0), (command, said[command])
    assert "12 rows: 12 booked" in said["fieldtui book drift.toml paper.csv"]
    assert "15 of 15 closed lengths come out the same" in said["fieldtui verify logs --figures"]
    assert "-1.28" in said["fieldtui history drift.toml"]
    assert (tmp_path / "drift.xlsx").exists()
    assert len(said) == 9
