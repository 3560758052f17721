"""The instrument in the real terminal, by keys alone: its page, a frame that fails, its chart, a dial that was off."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from walk.test_instrument import MORE, USUAL, step_on

from fieldtui.reduction.chart import SET
from fieldtui.survey import frame_target
from harness.jobs import CONTROL, TWO_CHORDS, Ticking, begin
from harness.terminal import Terminal


@pytest.fixture
def proven(tmp_path: Path) -> Path:
    path = tmp_path / "heading.toml"
    path.write_text(TWO_CHORDS.replace("{more}", MORE) + CONTROL, encoding="utf-8")
    now = datetime.now(UTC)
    for days in range(SET, 0, -1):
        walk = begin(path, Ticking(now - timedelta(days=days)))
        while frame_target("start") not in walk.state.bookings or walk.step.target == frame_target("start"):
            step_on(walk, USUAL[days % len(USUAL)])
        walk.close()
    return path


def test_the_instrument_is_proved_by_keys(proven: Path) -> None:
    with Terminal("walk", str(proven)) as terminal:
        terminal.wait_for("dial battery: never booked")
        line = next(line for line in terminal.text().splitlines() if "the instruments:" in line)
        terminal.type(f"{line.split()[0]}\n")
        terminal.wait_for("Limits ±")
        terminal.type("0")
        start = terminal.wait_for("start a new survey")
        line = next(line for line in start.splitlines() if "start a new survey" in line)
        terminal.type(f"{line.replace('>', ' ').split()[0]}\n")
        terminal.wait_for("Who reads")
        # in one burst, as fast as a hand that knows the way
        terminal.type("AB\n\n1\n1\n\n1\n0.00\n200\n12.60\n12.60\n12.60\n20.0\n")
        terminal.wait_for("OUTSIDE what is usual")
        terminal.type("\n")
        terminal.wait_for("read the frame again")
        terminal.type("1\n200\n12.30\n12.31\n12.32\n20.0\n")
        shown = terminal.wait_for("usual, +0.01")
        assert "◆" in shown
        assert "limits from the first 20" in shown
        terminal.type("\n+")
        listed = terminal.wait_for("What now")
        assert "0 back" in listed
        terminal.type("14\n1\n")
        terminal.wait_for("may have lost its zero")
        terminal.type("0.31\n")
        terminal.wait_for("MOVED +0.31 mm since the start")
        terminal.type("\x1b[21~")
        assert terminal.ended() == 0
