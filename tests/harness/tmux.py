"""A real terminal program in a real terminal multiplexer: keys by their names, and the screen as text."""

from __future__ import annotations

import os
import shlex
import subprocess
import sys
import time
from pathlib import Path

PAD = {"\n": "KPEnter", **{sign: f"KP{sign}" for sign in "0123456789.+-*/"}}
"""The number pad's keys, by what is printed on them."""


class Pane:
    """Runs `fieldtui ARGUMENTS` in a window of so many columns and lines. Counts the keys pressed."""

    def __init__(self, *arguments: str, columns: int = 80, lines: int = 24) -> None:
        self.keys = 0
        self._socket = f"fieldtui-{os.getpid()}-{time.monotonic_ns()}"
        quiet = f"XDG_CONFIG_HOME={os.devnull}"
        command = shlex.join(["env", quiet, sys.executable, "-m", "fieldtui", *arguments])
        size = ("-x", str(columns), "-y", str(lines))
        self._tmux("-f", os.devnull, "new-session", "-d", *size, f"{command}; sleep 3600")

    def _tmux(self, *arguments: str) -> str:
        done = subprocess.run(["tmux", "-L", self._socket, *arguments], capture_output=True, text=True, check=True)
        return done.stdout

    def press(self, signs: str) -> None:
        """Keys of the number pad, one after the other."""
        self.keys += len(signs)
        self._tmux("send-keys", *[PAD[sign] for sign in signs])

    def text(self) -> str:
        return self._tmux("capture-pane", "-p")

    def changed(self, before: str, seconds: float = 60.0) -> str:
        """The screen once it is another one and stands still."""
        end, seen = time.monotonic() + seconds, [before]
        while time.monotonic() < end:
            time.sleep(0.1)
            seen.append(self.text())
            if seen[-1].strip() and seen[-1] != before and len(set(seen[-4:])) == 1:
                return seen[-1]
        raise AssertionError(f"nothing changed in {seconds} s; the screen is\n{seen[-1]}")

    def close(self) -> None:
        subprocess.run(["tmux", "-L", self._socket, "kill-server"], capture_output=True, check=False)


def is_there() -> bool:
    """Whether this machine has it."""
    return any((Path(folder) / "tmux").exists() for folder in os.environ.get("PATH", "").split(os.pathsep))
