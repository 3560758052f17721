"""The ten chords by the walk, key by key: what it names before the tape is unhooked is read again there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import count
from pathlib import Path

from fieldtui.job import Walk, doubt, job_to_walk
from fieldtui.survey import Target
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from harness.jobs import Ticking
from tests.bench.against_paper.ground import SLOTS, TODAY, Read, Slip, Way, start

NAMES = {"\n": "enter", "\x1b": "escape"}


class Keys:
    """Types on a desk, counts keys, looks at the page after each as a person does."""

    def __init__(self, desk: WalkDesk) -> None:
        self.desk = desk
        self.desk.ticks = count().__next__  # a hand that lets a key go before it presses the next
        self.count = 0

    def press(self, keys: str) -> None:
        for key in keys:
            self.desk.press(NAMES.get(key, key), None if key in NAMES else key)
            self.count += 1
            draw_walk(self.desk, 80, 24)


def by_the_walk(path: Path, today: Sequence[Read], slips: Mapping[Target, Slip]) -> Way:
    """Keys pressed at ten chords, arrivals included; every slip that is named is read again at once."""
    way = Way("the walk", when="at the anchor, tape hooked")
    job = job_to_walk(path)
    desk = WalkDesk(Walk.begin(job, clock=Ticking(TODAY)), job)
    start(desk.walk)
    desk.to_step()
    keys = Keys(desk)
    begun = len(desk.walk.writer.records)
    for right in today:
        if desk.step.kind == "arrive":
            keys.press("\n")
        slip = slips.get(right.target)
        found = _type(keys, right if slip is None else slip.wrong, right)
        if slip is None:
            way.false += found is not None
        elif found is not None:
            way.caught += 1
            way.named += found in slip.named
    way.keys = keys.count
    way.entries = sum(record.kind == "figure" for record in desk.walk.writer.records[begun:])
    desk.walk.leave()
    return way


def _type(keys: Keys, read: Read, right: Read) -> str | None:
    """Type one chord; where it is doubted, read it again. Gives what was named, if anything was."""
    desk = keys.desk
    named = _figures(keys, read, right)
    while (step := desk.step).kind == "result" and step.target is not None and step.target.key == right.target.key:
        doubted = _cause(desk)
        keys.press("\n")
        if desk.mode.menu is None:
            continue  # accepted, or more of what it means came into sight
        if doubted is None:
            keys.press("2\n")  # a level, and it is seen
        elif step.target.reading == 1:
            named = named or doubted
            keys.press("1\n")
            _figures(keys, right, right)
        else:
            keys.press("3\n1\n")  # kept: read again, and it says the same
    return named


def _figures(keys: Keys, read: Read, right: Read) -> str | None:
    """All figures that are asked for; what cannot be is refused at once, and typed right. What was named by then."""
    desk, named = keys.desk, None
    asked = _asked(read, right)
    while desk.step.kind == "figure":
        if desk.step.what == "dial_4":
            named = "one repeat"
        keys.press(asked[desk.step.what] + "\n")
        if desk.refused:
            named, asked = "refused", _asked(right, right)
            keys.press("\x1b")
    return named


def _asked(read: Read, right: Read) -> dict[str, str]:
    """By slot; a hole asked for twice is read wrong twice, a further repeat is read right."""
    again = {"hole_again": read.hole, "dial_4": right.dials[0], "dial_5": right.dials[2]}
    return dict(zip(SLOTS, read.figures, strict=True)) | again


def _cause(desk: WalkDesk) -> str | None:
    """The likeliest mistake, where the reading at hand is doubted."""
    verdict = doubt(desk.walk)
    if verdict is None:
        return None
    return next(one.cause for one in verdict.explanations if one.cause not in ("as booked", "real movement"))
