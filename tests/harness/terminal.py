"""A real pseudo-terminal with the real program in it, and a screen to read."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Mapping
from pathlib import Path

import pyte


class Terminal:
    """Runs `fieldtui ARGUMENTS` in a terminal of so many columns and lines."""

    def __init__(
        self,
        *arguments: str,
        columns: int = 80,
        lines: int = 24,
        cwd: Path | None = None,
        look: Mapping[str, str] | None = None,
    ) -> None:
        """`look`: what the environment says of the terminal's colours, instead of all of them."""
        self.master, slave = pty.openpty()
        self._size(columns, lines)
        self.screen = pyte.Screen(columns, lines)
        self.stream = pyte.ByteStream(self.screen)
        self.bytes_out = 0
        self.sent = bytearray()
        environment = {key: value for key, value in os.environ.items() if key not in ("NO_COLOR", "COLORTERM")}
        environment |= look if look is not None else {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
        environment.setdefault("XDG_CONFIG_HOME", os.devnull)  # not the settings of whoever runs the tests
        self.before = termios.tcgetattr(slave)
        self.slave = slave
        self.process = subprocess.Popen(
            [sys.executable, "-m", "fieldtui", *arguments],
            stdin=slave, stdout=slave, stderr=slave, cwd=cwd, env=environment, start_new_session=True,
            preexec_fn=lambda: fcntl.ioctl(0, termios.TIOCSCTTY, 0),
        )  # fmt: skip

    def _size(self, columns: int, lines: int) -> None:
        fcntl.ioctl(self.master, termios.TIOCSWINSZ, struct.pack("HHHH", lines, columns, 0, 0))

    def resize(self, columns: int, lines: int) -> None:
        """Another size, told as a terminal tells it."""
        self._size(columns, lines)
        self.screen.resize(lines, columns)
        os.killpg(self.process.pid, signal.SIGWINCH)

    def type(self, text: str | bytes) -> None:
        """Send keys in one write; Enter is a carriage return."""
        data = text.replace("\n", "\r").encode() if isinstance(text, str) else text
        while data:
            data = data[os.write(self.master, data) :]

    def pump(self, seconds: float) -> None:
        """Read what the program draws for so long."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            self._next(left)

    def _next(self, seconds: float) -> bool:
        """Read what comes next; False where nothing comes within that time."""
        if not select.select([self.master], [], [], seconds)[0]:
            return False
        try:
            data = os.read(self.master, 65536)
        except OSError:  # the program has ended
            time.sleep(min(seconds, 0.01))
            return False
        self.bytes_out += len(data)
        self.sent += data
        self.stream.feed(data)
        return True

    def _to_its_end(self) -> None:
        """Read on while a page is still being drawn, for a second at most: something may be moving."""
        end = time.monotonic() + 1.0
        while self._next(0.02) and time.monotonic() < end:
            pass

    def text(self) -> str:
        return "\n".join(line.rstrip() for line in self.screen.display)

    def wait_for(self, words: str, seconds: float = 30.0) -> str:
        """The screen's text as soon as these words stand on it."""
        end = time.monotonic() + seconds
        while words not in self.text():
            if time.monotonic() > end:
                raise AssertionError(f"{words!r} did not come up in {seconds} s; the screen is\n{self.text()}")
            self._next(0.05)
        self._to_its_end()
        return self.text()

    def wait_without(self, words: str, seconds: float = 30.0) -> None:
        end = time.monotonic() + seconds
        while words in self.text():
            assert time.monotonic() < end, f"{words!r} stayed; the screen is\n{self.text()}"
            self._next(0.05)
        self._to_its_end()

    def kill(self, how: int = signal.SIGKILL) -> int:
        os.kill(self.process.pid, how)
        return self.ended()

    def ended(self, seconds: float = 30.0) -> int:
        """The exit status, once the program has ended; what it printed last is on the screen."""
        end = time.monotonic() + seconds
        while self.process.poll() is None:
            assert time.monotonic() < end, f"still running; the screen is\n{self.text()}"
            self.pump(0.05)
        self.pump(0.1)
        return self.process.returncode

    def is_clean(self) -> bool:
        """Whether the terminal's own settings are as they were before the program."""
        return termios.tcgetattr(self.slave) == self.before

    def hang_up(self) -> None:
        """Drop the line: the other end of the terminal is gone."""
        os.close(self.slave)
        os.close(self.master)

    def __enter__(self) -> Terminal:
        return self

    def __exit__(self, *_: object) -> None:
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        for handle in (self.master, self.slave):
            try:
                os.close(handle)
            except OSError:
                continue
