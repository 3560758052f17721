"""A program in a pseudo-terminal, timed by the bytes that it draws: no screen is kept here, that would take as long."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Sequence
from pathlib import Path


class Line:
    """Runs `python ARGUMENTS` at the other end of a terminal of 80 x 24. `started` is when, by the monotonic clock."""

    def __init__(self, arguments: Sequence[str | Path]) -> None:
        self._master, slave = pty.openpty()
        fcntl.ioctl(self._master, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
        environment = {**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        for name in ("NO_COLOR", "PYTHONDONTWRITEBYTECODE"):
            environment.pop(name, None)
        self._drawn = b""
        self.started = time.perf_counter()
        self._process = subprocess.Popen(
            [sys.executable, *map(str, arguments)],
            stdin=slave, stdout=slave, stderr=slave, env=environment, start_new_session=True,
        )  # fmt: skip
        os.close(slave)

    def type(self, keys: str) -> float:
        """Send keys; when."""
        self._drawn = b""
        now = time.perf_counter()
        os.write(self._master, keys.replace("\n", "\r").encode())
        return now

    def until(self, words: str, seconds: float = 900.0) -> float:
        """When these words have been drawn since the last keys."""
        end = time.perf_counter() + seconds
        while words.encode() not in self._drawn:
            left = end - time.perf_counter()
            if left <= 0 or not self._read(left):
                raise TimeoutError(f"{words!r} was not drawn; the last of what was: {self._drawn[-2000:]!r}")
        return time.perf_counter()

    def drawn_anything(self, seconds: float = 60.0) -> None:
        """Wait until anything has been drawn since the last keys."""
        while not self._drawn:
            if not self._read(seconds):
                raise TimeoutError(f"nothing was drawn in {seconds:g} s")

    def quiet(self, seconds: float = 0.3) -> bytes:
        """All that is drawn until nothing more comes for so long."""
        while self._read(seconds):
            pass
        return self._drawn

    def _read(self, seconds: float) -> bool:
        if not select.select([self._master], [], [], seconds)[0]:
            return False
        self._drawn += os.read(self._master, 1 << 16)
        return True

    def megabytes(self) -> float:
        """The most memory that was resident so far."""
        status = Path(f"/proc/{self._process.pid}/status").read_text(encoding="ascii")
        return next(int(line.split()[1]) for line in status.splitlines() if line.startswith("VmHWM")) / 1024

    def __enter__(self) -> Line:
        return self

    def __exit__(self, *_: object) -> None:
        self._process.kill()
        self._process.wait()
        os.close(self._master)
