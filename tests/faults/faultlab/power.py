"""A power cut on a real file system: ext4 on a loop device, shut down by ioctl without flushing its journal.

EXT4_IOC_SHUTDOWN is `_IOR('X', 125, __u32)` in fs/ext4/ext4.h of Linux; flag 2 is EXT4_GOING_FLAGS_NOLOGFLUSH. What was
not synced is gone after the next mount.
"""

from __future__ import annotations

import fcntl
import os
import random
import struct
import subprocess
import time
from pathlib import Path

from faultlab.kill import booker
from faultlab.mounts import mounted, run
from fieldtui.log import read_folder

SHUTDOWN = 2 << 30 | 4 << 16 | ord("X") << 8 | 125
NO_LOG_FLUSH = struct.pack("I", 2)


def an_image(place: Path) -> Path:
    image = place / "ext4.img"
    with image.open("wb") as file:
        file.truncate(24 << 20)
    run("mkfs.ext4", "-q", image)
    return image


def cut_power(image: Path, place: Path, *options: str, seed: int) -> int:
    """Book until the power goes; gives the entries acknowledged before; AssertionError where one is lost."""
    with mounted(place, "-o", "loop", str(image)) as disk:
        said = _book_until_the_cut(disk, random.Random(seed).uniform(0.4, 1.0), *options)
    saved = [line.split()[1] for line in said if line.startswith("saved ")]
    with mounted(place, "-o", "loop", str(image)) as disk:
        logs = read_folder(disk / "logs")
        there = {record.data["token"] for log in logs.logs for record in log.records if "token" in record.data}
        wrong = [log.problems for log in logs.logs if log.problems]
    gone = [token for token in saved if token not in there]
    assert not gone, f"{len(gone)} of {len(saved)} acknowledged entries are gone: {gone[:3]} …"
    assert not wrong, wrong
    return len(saved)


def _book_until_the_cut(disk: Path, after: float, *options: str) -> list[str]:
    """What the program had said when the power went."""
    folder = os.open(disk, os.O_RDONLY)
    try:
        with subprocess.Popen(
            booker(disk / "logs", *options), stdout=subprocess.PIPE, stderr=subprocess.PIPE
        ) as program:
            assert program.stdout is not None
            os.set_blocking(program.stdout.fileno(), False)
            said = b""
            end = time.monotonic() + after
            while time.monotonic() < end or b"saved" not in said:
                said += program.stdout.read() or b""
                time.sleep(0.005)
            # all that is read here was acknowledged before the ioctl
            said += program.stdout.read() or b""
            fcntl.ioctl(folder, SHUTDOWN, NO_LOG_FLUSH)
            program.kill()
            program.communicate()
    finally:
        os.close(folder)
    return said.decode("ascii").split("\n")[:-1]
