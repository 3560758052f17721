"""The long campaign, by one command, from the project's root:

    python -m tests.faults.campaign [--small] [NAME …]     the table of faults, filled in with counts
    python -m tests.faults.campaign --broken               each rule broken on purpose, and the test that catches it

It cuts, flips, fails, kills and pulls the plug for an hour or so, on one core, and prints a row as soon as it is
through. Exit status 1 where anything was lost, unseen, or could not be run here. Power cuts and the small disk need
root.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from unittest.mock import patch

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parent)]

from hypothesis import Phase, settings  # noqa: E402
from hypothesis.stateful import run_state_machine_as_test  # noqa: E402

from faultlab.cuts import (  # noqa: E402
    NoSync,
    a_log,
    a_log_with_a_history,
    cut_everywhere,
    flip_everywhere,
    interrupt_recovery,
)
from faultlab.disk import PagedDisk  # noqa: E402
from faultlab.failing import ERRNOS, WAYS  # noqa: E402
from faultlab.kill import booker, kill_again_and_again  # noqa: E402
from faultlab.kth import every_k  # noqa: E402
from faultlab.write_back import QUICK, WriteBack  # noqa: E402

Part = Callable[[Path, int], str]
SIZE, SMALL = 100, 10  # entries of the logs that are cut and flipped, and what all other numbers follow


def cut(place: Path, size: int) -> str:
    """cut at every byte"""
    content = a_log(place, size).read_bytes()
    return f"{cut_everywhere(content, place / 'cut'):,} cuts of a log of {size + 2} records: whole records kept"


def interrupted(place: Path, size: int) -> str:
    """recovery interrupted"""
    content = a_log(place, 4).read_bytes()
    cases = 0
    for back in range(1, 300, max(1, 3000 // size)):
        cases += interrupt_recovery(content, len(content) - back, place / "again", depth=3, sample=23)
    return f"{cases:,} recoveries interrupted, up to three times over: nothing lost"


def kth_call(place: Path, size: int) -> str:
    """k-th I/O call fails"""
    runs = cuts = 0
    codes = ERRNOS if size >= SIZE else ERRNOS[:1]
    for number, (code, how, for_ever) in enumerate((c, h, f) for c in codes for h in WAYS for f in (False, True)):
        runs += every_k(place / str(number), NoSync(), code, how, for_ever)
        cuts += every_k(place / f"cut-{number}", PagedDisk(), code, how, for_ever, cut=True)
    names = " ".join(os.strerror(code).split(",")[0] for code in codes)
    return (
        f"{runs:,} jobs with a call failing and {cuts:,} with a power cut after it ({len(codes)} errors: {names}; once "
        "and for ever; error, short write, done but error): 0 saved entries lost"
    )


def write_back(place: Path, size: int) -> str:
    """failed write-back"""
    many = settings(QUICK, derandomize=False, max_examples=size * 20, phases=[Phase.generate, Phase.shrink])
    run_state_machine_as_test(WriteBack, settings=many)
    return f"{size * 20:,} histories of failed syncs, kills and power cuts on a modelled disk: 0 lost"


def full_disk(place: Path, size: int) -> str:
    """full disk"""
    from faultlab.full import fill_and_go_on
    from faultlab.mounts import mounted, need_root

    need_root()
    saved = 0
    for ballast in range(1_000, 45_000, 44_000 // size):
        with mounted(place / "small", "-t", "tmpfs", "-o", "size=64k", "tmpfs") as small:
            saved += fill_and_go_on(small, ballast, size=ballast % 977)
    times = len(range(1_000, 45_000, 44_000 // size))
    return f"{times} times full on a tmpfs of 64 KiB, {saved:,} entries acknowledged: 0 lost, gone on in a new file"


def order(place: Path, size: int) -> str:
    """order of calls, two openers, read-only, RLIMIT_FSIZE, the other reader"""
    files = [HERE / "test_order.py", HERE / "test_full_disk.py", HERE.parent / "log" / "test_golden.py"]
    named = [*map(str, files), f"{HERE / 'test_broken_rules.py'}::test_the_check_is_green_with_the_rules_in_place"]
    command = [sys.executable, "-m", "pytest", "-q", *named, "--basetemp", str(place / "tests")]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout[-2000:]
    return done.stdout.strip().splitlines()[-1]


def killed_writer(place: Path, size: int) -> str:
    """kill -9, the writer alone"""
    saved = kill_again_and_again(place, booker(place), times=size * 10, seed=7)
    return f"{size * 10:,} kills, {saved:,} entries acknowledged: 0 lost"


def power_cut(place: Path, size: int) -> str:
    """power cut on ext4"""
    from faultlab.power import an_image, cut_power

    image = an_image(place)
    saved = sum(cut_power(image, place / "disk", seed=seed) for seed in range(size * 2))
    lost = 0
    for seed in range(max(1, size // 20)):
        try:
            cut_power(an_image(place), place / "disk", "unsynced", seed=seed)
        except AssertionError as gone:
            told, lost = str(gone), lost + 1
    assert lost == max(1, size // 20), "without fsync nothing was lost: the cut does not cut"
    return f"{size * 2} power cuts, {saved:,} entries acknowledged: 0 lost; fsync taken out, {lost} cuts: {told}"


def flip(place: Path, size: int) -> str:
    """flip every bit"""
    whole = flip_everywhere(a_log(place / "a", size, closed=True).read_bytes())
    history = flip_everywhere(a_log_with_a_history(place / "b").read_bytes())
    return f"{whole:,} bits of a log of {size + 3} records and {history:,} of one with a history: 0 unseen, all located"


def killed(place: Path, size: int) -> str:
    """kill -9, the real program in a pty"""
    from faultlab.walked import kill_walks

    return str(kill_walks(place, times=size * 10, seed=11))


PARTS: dict[str, Part] = {
    part.__name__: part
    for part in (
        cut,
        interrupted,
        kth_call,
        write_back,
        full_disk,
        order,
        killed_writer,
        power_cut,
        flip,
        killed,
    )
}


def main(arguments: list[str]) -> int:
    if "--broken" in arguments:
        from faultlab.rules import tell_broken

        return tell_broken()
    size = SMALL if "--small" in arguments else SIZE
    chosen = [name for name in arguments if not name.startswith("-")] or list(PARTS)
    bad = 0
    print("| test | shown | s |\n|---|---|---|", flush=True)
    for name in chosen:
        start = time.monotonic()
        try:
            with tempfile.TemporaryDirectory() as place, patch.dict(os.environ, _quick_to_start(place)):
                told = PARTS[name](Path(place), size)
        except BaseException as error:  # an interruption or a skip ends the part as well, and is told
            bad += 1
            told = f"FAILED: {type(error).__name__}: {str(error)[:500]}"
            if isinstance(error, KeyboardInterrupt):
                raise
        print(f"| {PARTS[name].__doc__} | {told} | {time.monotonic() - start:.0f} |", flush=True)
    return 1 if bad else 0


def _quick_to_start(place: str) -> dict[str, str]:
    """A thousand starts of the program, its byte code kept."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    return {"PYTHONPYCACHEPREFIX": f"{place}-pyc"}


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
