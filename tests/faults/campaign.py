"""The long campaign, by one command, from the project's root:

    python -m tests.faults.campaign [--small] [NAME …]

It cuts, flips, fails, kills and pulls the plug for an hour or so, and prints a table. Exit status 1 where anything was
lost, unseen, or could not be run here.
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))

from hypothesis import Phase, settings  # noqa: E402
from hypothesis.stateful import run_state_machine_as_test  # noqa: E402

from faultlab.cuts import (  # noqa: E402
    a_log,
    a_log_with_a_history,
    cut_everywhere,
    flip_everywhere,
    interrupt_recovery,
)
from faultlab.kill import booker, kill_again_and_again  # noqa: E402
from faultlab.write_back import QUICK, WriteBack  # noqa: E402

Part = Callable[[Path, int], str]


def cut(place: Path, size: int) -> str:
    content = a_log(place, size).read_bytes()
    return f"{cut_everywhere(content, place / 'cut')} cuts of a log of {size + 2} records"


def flip(place: Path, size: int) -> str:
    whole = flip_everywhere(a_log(place / "a", size, closed=True).read_bytes())
    history = flip_everywhere(a_log_with_a_history(place / "b").read_bytes())
    return f"{whole + history} bits flipped, logs of {size + 3} records and one with a history"


def interrupted(place: Path, size: int) -> str:
    content = a_log(place, 4).read_bytes()
    cases = 0
    for back in range(1, 300, max(1, 3000 // size)):
        cases += interrupt_recovery(content, len(content) - back, place / "again", depth=3, sample=23)
    return f"{cases} recoveries interrupted, up to three times over"


def write_back(place: Path, size: int) -> str:
    many = settings(QUICK, derandomize=False, max_examples=size * 20, phases=[Phase.generate, Phase.shrink])
    run_state_machine_as_test(WriteBack, settings=many)
    return f"{size * 20} histories of failed syncs, kills and power cuts on a modelled disk"


def kth_call(place: Path, size: int) -> str:
    command = [sys.executable, "-m", "pytest", "-q", "-m", "campaign or not campaign", str(HERE / "test_kth_call.py")]
    done = subprocess.run([*command, "--basetemp", str(place / "kth")], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-2000:]
    return done.stdout.strip().splitlines()[-1]


def killed(place: Path, size: int) -> str:
    saved = kill_again_and_again(place, booker(place), times=size, seed=7)
    return f"{size} kills, {saved} entries acknowledged, none lost"


def power_cut(place: Path, size: int) -> str:
    from faultlab.power import an_image, cut_power

    image = an_image(place)
    times = max(2, size // 4)
    saved = sum(cut_power(image, place / "disk", seed=seed) for seed in range(times))
    try:
        cut_power(an_image(place), place / "disk", "unsynced", seed=0)
    except AssertionError as lost:
        return f"{times} power cuts on ext4, {saved} entries acknowledged, none lost; without fsync {lost}"
    raise AssertionError("without fsync nothing was lost: the cut does not cut")


PARTS: dict[str, Part] = {
    part.__name__: part for part in (cut, flip, interrupted, write_back, kth_call, killed, power_cut)
}


def main(arguments: list[str]) -> int:
    size = 10 if "--small" in arguments else 120
    chosen = [name for name in arguments if not name.startswith("-")] or list(PARTS)
    bad = 0
    for name in chosen:
        start = time.monotonic()
        try:
            with tempfile.TemporaryDirectory() as place:
                told = PARTS[name](Path(place), size)
        except BaseException as error:  # an interruption or a skip ends the part as well, and is told
            bad += 1
            told = f"FAILED: {type(error).__name__}: {str(error)[:500]}"
            if isinstance(error, KeyboardInterrupt):
                raise
        print(f"{name:12} {time.monotonic() - start:8.1f} s  {told}", flush=True)
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
