"""Every rule of the log beside the variant that breaks it and the check that then goes red.

RULES ──► tests/faults/test_broken_rules.py runs each
      └─► python -m tests.faults.campaign --broken prints what caught what
"""

from __future__ import annotations

import tempfile
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from _pytest.outcomes import Failed

from faultlab import broken as one
from faultlab import broken_files as file
from faultlab import broken_folders as many
from faultlab import checks, checks_of_files, checks_of_folders
from faultlab.broken import Variant

Check = Callable[[Path], None]
TEST = "tests/faults/test_broken_rules.py"
NO_FINDING = (ImportError, NameError, AttributeError, TypeError)
"""A variant that does not run has broken no rule."""


@dataclass(frozen=True)
class Rule:
    """A rule of the log, its section, how it is broken, and what sees it."""

    section: str
    text: str
    variant: Variant
    check: Check

    @property
    def name(self) -> str:
        return self.text.replace(" ", "-")

    @property
    def test(self) -> str:
        """The test that runs the check with the rules in place."""
        return f"test_the_check_is_green_with_the_rules_in_place[{self.check.__name__}]"


def _rules(section: str, *rules: tuple[str, Variant, Check]) -> list[Rule]:
    return [Rule(section, *rule) for rule in rules]


f, g = checks_of_files, checks_of_folders
RULES: list[Rule] = [
    *_rules(
        "record",
        ("a line proves itself by its hash", one.HASH_UNCHECKED, checks.flips),
        ("the hash stands where it must", one.SHAPE_UNCHECKED, checks.flips),
        ("each record names the one before", one.LINK_UNCHECKED, checks.splices),
        ("in a block each line proves itself", one.BLOCK_HASH_UNCHECKED, checks.flips),
        ("in a block each record names the one before", one.BLOCK_LINK_UNCHECKED, checks.splices),
        ("in a block the numbers follow", one.BLOCK_NUMBER_UNCHECKED, checks.splices),
        ("lines are ASCII", file.UTF8, f.as_typed),
        ("nothing that other readers refuse", file.NOT_A_NUMBER, f.as_typed),
        ("figures are texts as typed", file.AS_NUMBERS, f.as_typed),
    ),
    *_rules(
        "create",
        ("a new log is never laid over another", one.NOT_EXCLUSIVE, checks.collisions),
        ("a log is open for appending alone", file.NOT_APPENDING, f.descriptors),
        ("no program that is started inherits a log", file.INHERITED, f.descriptors),
        ("bytes and not text on Windows", file.TEXT_MODE, f.other_systems),
        ("the name is synced as well", one.NO_FOLDER_SYNC, checks.write_back),
        ("a log that was not created whole was never begun", file.BEGUN_AT_ONCE, f.first_records),
        ("record 0 is below 1 kB", file.LONG_RECORD_0, f.first_records),
    ),
    *_rules(
        "append",
        ("saved means synced", one.NO_SYNC, checks.write_back),
        ("write then fsync and only then saved", one.NO_SYNC, f.order),
        ("one write for one entry", file.TWO_WRITES, f.order),
        ("one fsync for one entry", one.SYNC_AGAIN_ALWAYS, f.order),
        ("a short write is a failure", one.SHORT_IS_ENOUGH, checks.write_back),
        ("to the medium on macOS", file.MAC_STOPS_AT_THE_DRIVE, f.other_systems),
        ("the next entry waits for the last", file.NO_TURN, f.threads),
        ("a file that another has changed takes no more", file.NOT_LOOKED_AT, f.meddling),
        ("a closing record goes by itself", one.CLOSING_WITH_THE_REST, checks.write_back),
        ("a closed log is never written again", one.CLOSED_REOPENS, checks.closed_logs),
    ),
    *_rules(
        "lock",
        ("one writer", one.NO_LOCK, checks.two_openers),
        ("the lock outlasts a reader in the same program", one.LOCKF, checks.two_openers),
        ("the lock is held for life", file.UNLOCKS_ONCE_MADE, checks.two_openers),
        ("a second opener is told who has it", file.HOLDER_UNKNOWN, checks.two_openers),
        ("a log that is locked is open and not torn", file.LOCKED_IS_TORN, checks.two_openers),
        ("below 2^31 on Windows", file.LOCK_TOO_FAR, f.other_systems),
        ("network disks are warned of", file.NFS_UNKNOWN, f.network_disks),
    ),
    *_rules(
        "failed write",
        ("a failed fsync is not tried again", one.SYNC_AGAIN, checks.write_back),
        ("a failed write ends the file", one.GOES_ON_WRITING, checks.write_back),
    ),
    *_rules(
        "continuation",
        ("a new file names the old one", many.CONTINUES_NOTHING, g.continuation),
        ("it names the last saved record", many.CONTINUES_BEYOND, g.continuation),
        ("entries past the point where another file goes on are not folded", one.FOLDS_BEYOND, checks.write_back),
        ("a continued log is not taken up again", file.CONTINUED_REOPENS, f.refusals),
    ),
    *_rules(
        "reopen",
        ("a resumption repeats the last entry", one.NO_COPY, checks.write_back),
        ("a resumption repeats all of the last write", one.LAST_COPY_ONLY, checks.write_back),
        ("no copies of copies", one.COPY_OF_COPIES, checks.resumptions),
        ("readers never append", one.READER_HEALS, checks.reading),
        ("a newer format is read and not written", file.NEWER_REOPENS, f.refusals),
        ("unknown kinds are read and not written", file.UNKNOWN_REOPENS, f.refusals),
    ),
    *_rules(
        "torn tail",
        ("a newline goes before what is appended to a torn tail", one.NO_NEWLINE_FIRST, checks.cuts),
        ("a torn piece is named", one.PIECE_UNNAMED, checks.cuts),
        ("it is named by its place", many.PIECE_MISNAMED, checks.cuts),
        ("nothing is truncated", one.TRUNCATES, checks.cuts),
        ("a line without newline whose hash fits is whole", one.UNENDED_IS_TORN, checks.cuts),
        ("a wrong last byte costs no record", one.LAST_BYTE_SPOILS, checks.flips),
        ("a piece that a recovery has ended with a newline is torn", one.ALL_IS_DAMAGE, checks.interruptions),
    ),
    *_rules(
        "damage",
        ("a changed last record is damage", one.ALL_IS_TORN, checks.flips),
        ("damage is located", many.DAMAGE_SOMEWHERE, checks.flips),
        ("a damaged log is read-only", file.DAMAGED_REOPENS, f.refusals),
    ),
    *_rules(
        "clock",
        ("a clock that jumps is never refused", file.CLOCK_REFUSED, f.clock),
        ("the number is the order", file.BY_TIME, f.clock),
        ("booking times are UTC", file.LOCAL_TIME, f.clock),
        ("one entry shifts a survey's times", file.ONLY_LATER_SHIFTED, f.times_of_reading),
    ),
    *_rules(
        "space",
        ("space is told before it is gone", file.SPACE_UNTOLD, f.space),
        ("a copy is read back", file.NOT_READ_BACK, f.stick),
        ("a copy is laid over no other file", file.LAID_OVER, f.stick),
    ),
    *_rules(
        "identity and gathering",
        ("a log names the heads before it", many.WITNESSES_NOTHING, g.witnesses),
        ("a named head that is not there is told", many.MISSING_UNTOLD, g.witnesses),
        ("of two the longer", many.SHORTER_KEPT, g.gathering),
        ("a fork is kept twice", many.LONGEST_OF_A_FORK, g.gathering),
        ("a fork is folded by nobody", many.FORK_FOLDED, g.gathering),
        ("the order in which they come does not matter", many.NAMED_AS_CALLED, g.gathering),
        ("no source is written", many.SOURCE_TAKEN_AWAY, g.gathering),
    ),
    *_rules(
        "short code",
        ("a slip of the pen is seen", many.SLIP_UNSEEN, g.codes),
        ("O and I are read as they are written", many.CONFUSED_LETTERS, g.codes),
        ("all of the code is compared", many.FITS_BY_ITS_BEGINNING, g.codes),
        ("the code of an earlier record is told", many.ANY_RECORD_FITS, g.codes),
    ),
]
CHECKS = sorted({rule.check for rule in RULES}, key=lambda check: check.__name__)


def caught(rule: Rule, place: Path) -> BaseException:
    """What the check says with the rule broken. AssertionError where it stays green, or the variant does not run."""
    try:
        with rule.variant():
            rule.check(place)
    except (Exception, Failed) as found:
        if isinstance(found, NO_FINDING):
            raise AssertionError(f"{rule.text}: the variant does not run: {found!r}") from found
        return found
    raise AssertionError(f"{rule.text}: broken, and {rule.check.__name__} stays green")


def _said(found: BaseException) -> str:
    """What the check said; a bare assertion says the line that it stands in."""
    words = " ".join(str(found).split())
    if not words:
        words = str(traceback.extract_tb(found.__traceback__)[-1].line)
    return words[:110].replace("|", "/")


def tell_broken() -> int:
    """Print which broken variant is caught by which test; 1 where one is not."""
    print(f"| section | rule, broken | caught by ({TEST}) | what it said |\n|---|---|---|---|")
    missed = 0
    for rule in RULES:
        with tempfile.TemporaryDirectory() as place:
            try:
                said = _said(caught(rule, Path(place)))
            except AssertionError as error:
                missed, said = missed + 1, f"NOT CAUGHT: {error}"
        print(f"| {rule.section} | {rule.text} | {rule.check.__name__} | {said} |", flush=True)
    print(f"\n{len(RULES) - missed} of {len(RULES)} broken rules are caught, by {len(CHECKS)} checks.")
    return 1 if missed else 0
