"""Every rule of the log, broken on purpose: the check that guards it must go red."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from faultlab import broken, checks
from faultlab.broken import Variant

Check = Callable[[Path], None]

CAUGHT: list[tuple[str, Variant, Check]] = [
    ("a line proves itself by its hash", broken.HASH_UNCHECKED, checks.flips),
    ("the hash stands where it must", broken.SHAPE_UNCHECKED, checks.flips),
    ("each record names the one before", broken.LINK_UNCHECKED, checks.splices),
    ("in a block each line proves itself", broken.BLOCK_HASH_UNCHECKED, checks.flips),
    ("in a block each record names the one before", broken.BLOCK_LINK_UNCHECKED, checks.splices),
    ("in a block the numbers follow", broken.BLOCK_NUMBER_UNCHECKED, checks.splices),
    ("a newline goes before what is appended to a torn tail", broken.NO_NEWLINE_FIRST, checks.cuts),
    ("a torn piece is named", broken.PIECE_UNNAMED, checks.cuts),
    ("nothing is truncated", broken.TRUNCATES, checks.cuts),
    ("a line without newline whose hash fits is whole", broken.UNENDED_IS_TORN, checks.cuts),
    ("a wrong last byte costs no record", broken.LAST_BYTE_SPOILS, checks.flips),
    ("a piece that a recovery has ended with a newline is torn", broken.ALL_IS_DAMAGE, checks.interruptions),
    ("a changed last record is damage", broken.ALL_IS_TORN, checks.flips),
    ("saved means synced", broken.NO_SYNC, checks.write_back),
    ("a failed fsync is not tried again", broken.SYNC_AGAIN, checks.write_back),
    ("a short write is a failure", broken.SHORT_IS_ENOUGH, checks.write_back),
    ("a failed write ends the file", broken.GOES_ON_WRITING, checks.write_back),
    ("the name is synced as well", broken.NO_FOLDER_SYNC, checks.write_back),
    ("a resumption repeats the last entry", broken.NO_COPY, checks.write_back),
    ("a resumption repeats all of the last write", broken.LAST_COPY_ONLY, checks.write_back),
    ("entries past the point where another file goes on are not folded", broken.FOLDS_BEYOND, checks.write_back),
    ("a closing record goes by itself", broken.CLOSING_WITH_THE_REST, checks.write_back),
    ("no copies of copies", broken.COPY_OF_COPIES, checks.resumptions),
    ("readers never append", broken.READER_HEALS, checks.reading),
    ("one writer", broken.NO_LOCK, checks.two_openers),
    ("the lock outlasts a reader in the same program", broken.LOCKF, checks.two_openers),
    ("a new log is never laid over another", broken.NOT_EXCLUSIVE, checks.collisions),
    ("a closed log is never written again", broken.CLOSED_REOPENS, checks.closed_logs),
]
CHECKS = sorted({check for _, _, check in CAUGHT}, key=lambda check: check.__name__)


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.__name__)
def test_the_check_is_green_with_the_rules_in_place(check: Check, tmp_path: Path) -> None:
    check(tmp_path)


@pytest.mark.parametrize(("rule", "variant", "check"), CAUGHT, ids=[rule.replace(" ", "-") for rule, _, _ in CAUGHT])
def test_the_broken_rule_is_caught(rule: str, variant: Variant, check: Check, tmp_path: Path) -> None:
    with variant(), pytest.raises((Exception, pytest.fail.Exception)) as caught:
        check(tmp_path)
    assert not isinstance(caught.value, (ImportError, NameError, AttributeError)), f"{rule}: {caught.value!r}"
