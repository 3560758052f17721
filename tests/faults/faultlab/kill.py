"""Start a program that books, kill it at a random instant, start it again: what it said was saved is there.

`command` is any program that prints `shown N …` once it has taken its log up and `saved TOKEN` after each entry, so the
real program can be put in the small one's place.
"""

from __future__ import annotations

import random
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

from fieldtui.log import read_folder

BOOKER = Path(__file__).with_name("booker.py")


def booker(folder: Path, *options: str) -> list[str]:
    return [sys.executable, str(BOOKER), str(folder), *options]


def kill_again_and_again(folder: Path, command: Sequence[str], times: int, seed: int) -> int:
    """Gives the number of entries that were acknowledged; AssertionError where one is not there afterwards.

    On a machine with much else to do few entries are booked before a kill: it is killed up to five times as often,
    until there are two for each of `times`.
    """
    chance = random.Random(seed)
    saved: list[str] = []
    for number in range(5 * times):
        if number >= times and len(saved) > 2 * times:
            break
        if number % 3 == 1:  # at any instant: while it starts, takes up its log, or books
            said = run_and_kill(command, chance.uniform(0.1, 0.5), shown=False)
        else:
            said = run_and_kill(command, chance.uniform(0, 0.05), shown=True)
        for line in said:
            word, *rest = line.split()
            if word == "shown":
                assert int(rest[0]) >= len(saved), f"shows {rest[0]} entries of {len(saved)} that were saved"
            else:
                saved.append(rest[0])
    logs = read_folder(folder)
    there = {record.data["token"] for log in logs.logs for record in log.records if "token" in record.data}
    assert [token for token in saved if token not in there] == []
    assert not any(log.problems for log in logs.logs)
    return len(saved)


def run_and_kill(command: Sequence[str], after: float, *, shown: bool) -> list[str]:
    """The whole lines that a program printed before it was killed, `after` seconds from its start or first line."""
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, bufsize=0) as program:
        assert program.stdout is not None
        said = b""
        while shown and not said.endswith(b"\n"):
            said += program.stdout.read(1) or b"\n"
        time.sleep(after)
        program.kill()
        rest, wrong = program.communicate()
    assert b"Error" not in wrong, wrong.decode()
    return [line for line in (said + rest).decode("ascii").split("\n")[:-1] if line]
