"""The real program in a real pseudo-terminal: bursts, kills, signals, a dropped line, bytes that are not text."""

from __future__ import annotations

import errno
import os
import shutil
import signal
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from fieldtui.job import load_job, logs_folder
from fieldtui.route import load_route
from fieldtui.survey import State
from fieldtui.tui import terminal
from harness.jobs import lay, with_past
from harness.terminal import Terminal

START = "1\nAB\n\n1\n1\n\n\n"
"""New survey, reader, no recorder, tape, extensometer, no stage, cautions."""
ARRIVAL = "0.00\n\f\n"
BURST = "320\n12.34\n12.36\n12,31\n9.5\n"
CROWN = "240\n12.34\n12.36\n12,31\n9.5\n"


@pytest.fixture(scope="module")
def laid(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job with a past, laid once and copied for each test."""
    return with_past(lay(tmp_path_factory.mktemp("laid"))).parent


@pytest.fixture
def route(laid: Path, tmp_path: Path) -> Path:
    shutil.copytree(laid, tmp_path / "job")
    return tmp_path / "job" / "heading.toml"


@pytest.fixture
def walk(route: Path) -> Iterator[Terminal]:
    with Terminal("walk", str(route)) as terminal:
        terminal.wait_for("start a new survey")
        yield terminal


def state(route: Path) -> State:
    loaded = load_route(route)
    return load_job(loaded, logs_folder(loaded)).surveys[-1].state


def keyed(terminal: Terminal, keys: str) -> None:
    """Keys in bursts; at the form feed the station's caution is read, which two Enters at once do not pass."""
    first, *more = keys.split("\f")
    terminal.type(first)
    for burst in more:
        terminal.wait_for("At station A")
        terminal.pump(0.8)
        terminal.type(burst)


def to_first_chord(terminal: Terminal) -> None:
    keyed(terminal, START + ARRIVAL)
    terminal.wait_for("chord L-R")
    terminal.wait_for("[")


def test_a_burst_books_every_figure_in_its_field(walk: Terminal, route: Path) -> None:
    """One write holds all keys of a chord. Sixty readings, sixty times right."""
    to_first_chord(walk)
    for number in range(60):
        walk.type("\n".join(keys(number)) + "\n")
        walk.wait_for("Do not unhook" if number > 3 else "unhook")
        if "more lines" in walk.text():
            walk.type("\n")
            walk.wait_without("more lines")
        walk.type("a")
        walk.wait_for(f"reading {number + 2}")
    readings = state(route).readings(("A", "L-R"))
    assert len(readings) == 60
    for number, booking in enumerate(readings):
        slots = ("hole", "dial_1", "dial_2", "dial_3", "temperature")
        assert {slot: entry.typed for slot, entry in booking.slots.items()} == dict(
            zip(slots, keys(number), strict=True)
        )


def keys(number: int) -> tuple[str, ...]:
    """Five figures of a chord, others each time."""
    dial = 12 + number / 10
    return (str(320 - number), f"{dial:.2f}", f"{dial + 0.02:.2f}", f"{dial + 0.01:.2f}", f"{number / 4}")


def test_the_whole_survey_in_two_bursts_with_a_caution_read_between(walk: Terminal, route: Path) -> None:
    chord = BURST + "\n"
    keyed(walk, START + ARRIVAL + chord + CROWN + "\n\n" + chord + "\n1\n1\n")
    walk.wait_for("The survey is closed")
    assert state(route).closed
    walk.type("\n1\n")
    assert walk.ended() == 0
    assert walk.is_clean()


PROMPTS = [
    START[:2],
    START[:5],
    START[:6],
    START[:8],
    START,
    START + "0.00\n",
    START + ARRIVAL,
    START + ARRIVAL + "320\n",
    START + ARRIVAL + "320\n12.34\n12.36\n",
    START + ARRIVAL + BURST,
]


@pytest.mark.parametrize("keys", PROMPTS, ids=range(1, len(PROMPTS) + 1))
def test_killed_at_a_prompt_and_resumed_at_the_same(route: Path, keys: str) -> None:
    with Terminal("walk", str(route)) as terminal:
        terminal.wait_for("start a new survey")
        keyed(terminal, keys)
        settle(terminal)
        before = body(terminal)
        terminal.kill(signal.SIGKILL)
    with Terminal("walk", str(route)) as terminal:
        terminal.wait_for("resume survey")
        terminal.type("1\n")
        terminal.wait_without("resume survey")
        settle(terminal)
        assert body(terminal) == before


def settle(terminal: Terminal) -> None:
    """Wait until the screen has stood still for a while."""
    last, since, start = "", time.monotonic(), time.monotonic()
    while time.monotonic() - since < 0.4 and time.monotonic() - start < 15:
        terminal.pump(0.1)
        if terminal.text() != last:
            last, since = terminal.text(), time.monotonic()


def body(terminal: Terminal) -> str:
    """The screen but for its last line, where the time of saving stands."""
    return "\n".join(terminal.text().splitlines()[:-1])


@pytest.mark.parametrize("how", [signal.SIGTERM, signal.SIGHUP, signal.SIGINT])
def test_a_signal_leaves_a_clean_terminal_and_an_open_survey(walk: Terminal, route: Path, how: int) -> None:
    to_first_chord(walk)
    walk.type("320\n")
    walk.wait_for("320")
    assert walk.kill(how) == 0
    assert walk.is_clean()
    assert "waits at the same prompt" in walk.text()
    assert not state(route).closed


def test_ctrl_c_leaves_the_survey_open_at_its_prompt(walk: Terminal, route: Path) -> None:
    to_first_chord(walk)
    walk.type("320\r")
    walk.wait_for("dial 1")
    settle(walk)
    walk.type(b"12\x03")
    assert walk.ended() == 0
    assert walk.is_clean()
    assert "waits at the same prompt" in walk.text()
    assert [entry.typed for entry in state(route).readings(("A", "L-R"))[0].slots.values()] == ["320"]


def stopped(terminal: Terminal) -> None:
    """Wait until the program is stopped, as a shell does that has jobs."""
    end = time.monotonic() + 30
    while time.monotonic() < end:
        terminal.pump(0.1)
        pid, status = os.waitpid(terminal.process.pid, os.WUNTRACED | os.WNOHANG)
        if pid and os.WIFSTOPPED(status):
            terminal.pump(0.2)
            return
    raise AssertionError(f"not stopped; the screen is\n{terminal.text()}")


@pytest.mark.parametrize("how", ["ctrl+z", "signal"])
def test_suspended_and_called_back(walk: Terminal, route: Path, how: str) -> None:
    """The terminal is clean meanwhile and says where the survey stands; then the same page is drawn anew."""
    to_first_chord(walk)
    walk.type("320\n12")
    settle(walk)
    before = body(walk)
    if how == "ctrl+z":
        walk.type(b"\x1a")
    else:
        os.kill(walk.process.pid, signal.SIGTSTP)
    stopped(walk)
    assert walk.is_clean()
    told = walk.text().replace("\n", "")
    assert "fg goes on" in told
    assert "waits at the same prompt" in told
    assert [entry.typed for entry in state(route).readings(("A", "L-R"))[0].slots.values()] == ["320"]
    walk.screen.reset()
    os.kill(walk.process.pid, signal.SIGCONT)
    walk.wait_for("[12")
    settle(walk)
    assert body(walk) == before
    walk.type(".34\n")
    walk.wait_for("12.34 ")
    assert walk.kill(signal.SIGTERM) == 0
    assert walk.is_clean()


def test_stopped_by_the_signal_that_cannot_be_caught(walk: Terminal, route: Path) -> None:
    """Called back, it reads every key once, and leaves the terminal as it found it."""
    to_first_chord(walk)
    settle(walk)
    os.kill(walk.process.pid, signal.SIGSTOP)
    stopped(walk)
    os.kill(walk.process.pid, signal.SIGCONT)
    settle(walk)
    for key in "320\n12.34\n12.36\n12.31\n":
        walk.type(key)
        walk.pump(0.02)
    walk.wait_for("12.31")
    settle(walk)
    booked = state(route).readings(("A", "L-R"))[0].slots
    assert [entry.typed for entry in booked.values()] == ["320", "12.34", "12.36", "12.31"]
    assert walk.kill(signal.SIGTERM) == 0
    assert walk.is_clean()


def test_a_dropped_line_ends_the_program_at_once(walk: Terminal, route: Path) -> None:
    to_first_chord(walk)
    walk.type("320\n")
    walk.wait_for("320")
    settle(walk)
    walk.hang_up()
    end = time.monotonic() + 10
    while walk.process.poll() is None and time.monotonic() < end:
        time.sleep(0.05)
    assert walk.process.poll() is not None, "the program lives on without a terminal"
    assert [entry.typed for entry in state(route).readings(("A", "L-R"))[0].slots.values()] == ["320"]


def test_bytes_that_are_not_text_are_refused_with_words(walk: Terminal, route: Path) -> None:
    to_first_chord(walk)
    walk.type(b"3\xff\xfe0\r")
    walk.wait_for("is not a number")
    assert state(route).readings(("A", "L-R")) == ()
    walk.type(b"\x1b")
    settle(walk)
    walk.type("320\n")
    settle(walk)
    assert len(state(route).readings(("A", "L-R"))) == 1


@pytest.mark.parametrize("junk", [b"\xe9", b"\x1b[999999999999u"], ids=["half a character", "no key code"])
def test_the_keyboard_lives_on_after_bytes_that_are_no_key(walk: Terminal, route: Path, junk: bytes) -> None:
    to_first_chord(walk)
    walk.type(junk)
    settle(walk)
    walk.type("|\n")
    walk.wait_for("is not a number")
    walk.type(b"\x1b")
    settle(walk)
    walk.type("320\n")
    walk.wait_for("320")
    settle(walk)
    assert [entry.typed for entry in state(route).readings(("A", "L-R"))[0].slots.values()] == ["320"]


def test_a_size_told_by_noise_on_the_line_changes_nothing(walk: Terminal) -> None:
    to_first_chord(walk)
    before = walk.text()
    walk.type(b"\x1b[48;3;10;1;1t")
    settle(walk)
    assert walk.text() == before


def test_pasted_lines_are_refused_and_nothing_is_booked(walk: Terminal, route: Path) -> None:
    to_first_chord(walk)
    walk.type(b"\x1b[200~320\n12.5\x1b[201~")
    walk.wait_for("Several lines were pasted")
    assert state(route).readings(("A", "L-R")) == ()


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (132, 43), (200, 60), (40, 10), (20, 5)])
def test_any_size_at_any_time(walk: Terminal, size: tuple[int, int]) -> None:
    to_first_chord(walk)
    walk.resize(*size)
    settle(walk)
    walk.type("320\n")
    settle(walk)
    walk.resize(80, 24)
    walk.wait_for("320")
    assert walk.process.poll() is None


def test_an_idle_screen_sends_nothing(walk: Terminal) -> None:
    to_first_chord(walk)
    settle(walk)
    before = walk.bytes_out
    walk.pump(1.5)
    assert walk.bytes_out == before


def test_a_key_sends_what_changed_and_little_besides(walk: Terminal) -> None:
    """A large window costs a poor line no more than a small one."""
    walk.resize(200, 60)
    to_first_chord(walk)
    walk.type("320\n12.34\n12.36\n12")
    settle(walk)
    before = walk.bytes_out
    walk.type(".")
    settle(walk)
    walk.type("3")
    settle(walk)
    assert walk.bytes_out - before < 6000


def test_a_second_program_is_told_who_has_the_survey(walk: Terminal, route: Path) -> None:
    to_first_chord(walk)
    with Terminal("walk", str(route)) as second:
        second.wait_for("open in another program")
        second.type("1\n")
        second.wait_for(str(walk.process.pid))


def test_a_crash_on_a_full_disk_is_told_in_words_too(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def full(**_: object) -> tuple[int, str]:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(tempfile, "mkstemp", full)
    terminal._tell_crash(ValueError("on purpose"))
    told = capsys.readouterr().err
    assert "The program failed: ValueError." in told
    assert "could not be written down: No space left on device." in told


def test_a_crash_is_told_in_words_and_kept_in_a_file(route: Path, tmp_path: Path) -> None:
    """A fault of the program, put there on purpose: exit status 2, a clean terminal, the survey resumable."""
    (tmp_path / "sitecustomize.py").write_text(
        "import fieldtui.tui.trend as trend\n"
        "def broken(*_): raise RuntimeError('on purpose')\n"
        "import fieldtui.tui.draw as draw\n"
        "draw.draw_trend = broken\n"
    )
    with pytest.MonkeyPatch.context() as environment:
        environment.setenv("PYTHONPATH", str(tmp_path), prepend=os.pathsep)
        environment.setenv("TMPDIR", str(tmp_path))
        with Terminal("walk", str(route)) as terminal:
            terminal.wait_for("start a new survey")
            terminal.type(START + "0.00\n")
            assert terminal.ended() == 2
            assert terminal.is_clean()
            assert "Traceback" not in terminal.wait_for("The program failed")
    assert "on purpose" in next(tmp_path.glob("fieldtui-crash-*.txt")).read_text()
    assert not state(route).closed
