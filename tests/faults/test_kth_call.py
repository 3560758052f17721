"""The k-th call to the system fails, for every k, once and for ever (the method of *How SQLite Is Tested*)."""

from __future__ import annotations

import errno
from pathlib import Path

import pytest

from faultlab.cuts import NoSync
from faultlab.disk import PagedDisk
from faultlab.failing import ERRNOS, WAYS, How
from faultlab.kth import every_k
from fieldtui.log import OsCalls

ALWAYS = [(code, "error", False) for code in ERRNOS] + [(errno.EIO, how, True) for how in WAYS]
EVERY = [(code, how, for_ever) for code in ERRNOS for how in WAYS for for_ever in (False, True)]


def rarely(case: tuple[int, How, bool]) -> object:
    return pytest.param(*case, marks=() if case in ALWAYS else pytest.mark.campaign)


@pytest.mark.parametrize(("code", "how", "for_ever"), [rarely(case) for case in EVERY])
def test_the_kth_call_fails_and_nothing_acknowledged_is_lost(
    code: int, how: How, for_ever: bool, tmp_path: Path
) -> None:
    runs = every_k(tmp_path, NoSync(), code, how, for_ever)
    assert runs > 50


@pytest.mark.parametrize("for_ever", [False, True], ids=["once", "for-ever"])
def test_the_kth_call_fails_and_a_power_cut_follows(for_ever: bool, tmp_path: Path) -> None:
    for how in WAYS:
        every_k(tmp_path / how, PagedDisk(), errno.EIO, how, for_ever, cut=True)


def test_the_kth_call_fails_on_the_real_disk(tmp_path: Path) -> None:
    every_k(tmp_path, OsCalls(), errno.EIO, "error", True, step=5)
