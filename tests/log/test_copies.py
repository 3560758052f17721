"""A gap is closed by copies only where they are linked to what stands on both its sides."""

from __future__ import annotations

from fieldtui.log.copies import Gap, close, copies_in
from fieldtui.log.record import GENESIS, HASH, Record, parse, seal


def a_chain(length: int) -> list[bytes]:
    lines: list[bytes] = []
    h = GENESIS
    for seq in range(length):
        lines.append(seal(seq, "", "dial", {"n": str(seq)}, h)[:-1])
        h = lines[-1][HASH].decode()
    return lines


LINES = a_chain(8)
COPIES = dict(enumerate(LINES))
H = [line[HASH].decode() for line in LINES]


def a_gap(before: int, after: int, *, h: str | None = None, prev: str | None = None) -> Gap:
    return Gap(before, h or H[before], after, prev or H[after - 1], 0, 0, "")


def test_what_is_lost_between_two_records_is_given_back() -> None:
    assert close(a_gap(2, 5), COPIES) == LINES[3:5]


def test_copies_that_are_not_linked_close_nothing() -> None:
    assert close(a_gap(2, 5, prev="e" * 64), COPIES) is None
    assert close(a_gap(2, 5, h="e" * 64), COPIES) is None
    assert close(a_gap(2, 3, prev="e" * 64), COPIES) is None  # nothing is missing, the link is wrong


def test_copies_that_do_not_reach_close_nothing() -> None:
    assert close(a_gap(2, 6), {3: LINES[3], 5: LINES[5]}) is None
    assert close(a_gap(2, 6), {}) is None
    assert close(a_gap(1, 6), {3: LINES[3], 4: LINES[4]}) is None


def test_after_the_last_copy_only_bookkeeping_can_be_lost() -> None:
    copies = {2: LINES[2], 3: LINES[3]}
    assert close(a_gap(2, 6, prev="f" * 64), copies) == [LINES[3]]
    assert close(a_gap(3, 6, prev="f" * 64), copies) == []


def test_copies_that_do_not_prove_themselves_are_none() -> None:
    good = [line.decode() for line in LINES[:2]]
    record = Record(9, "", "resumed", {"copies": good}, "", "")
    assert copies_in(record) == {0: LINES[0], 1: LINES[1]}
    for copies in ([*good, "x"], [good[0].replace("dial", "dual")], [7], ["é"]):
        assert copies_in(Record(9, "", "resumed", {"copies": copies}, "", "")) == {}
    assert copies_in(Record(9, "", "dial", {"copies": good}, "", "")) == {}
    assert parse(LINES[0]).kind == "dial"
