"""Ten chords of the demo job, walked by the number pad and booked from a paper sheet: entries, keys, slips caught.

    python -m tests.bench.ten_chords

Both get the same figures, once clean and once with one slip in each chord: a hole off by one, two digits of a dial
swapped, a thermometer misread by ten. In the walk every slip that is seen is set right at once and
its keys are counted; of the sheet the answers are counted that say that something is wrong, which is after the walk.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

from fieldtui.demo import lay_demo
from fieldtui.demo.book import typed_at
from fieldtui.demo.lay import read_truth
from fieldtui.demo.truth import Truth
from fieldtui.job import Walk, load_job, logs_folder
from fieldtui.paper.book import book_table
from fieldtui.paper.rows import REQUIRED
from fieldtui.paper.table import read_table
from fieldtui.route import load_route
from fieldtui.survey import Target
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.draw import draw_walk
from tests.bench.figure import Figure

END = datetime(2025, 6, 18, 10, 12, tzinfo=UTC)
CHORDS = 10
Figures = dict[str, str]
"""By slot, in the order in which they are asked for."""


@dataclass
class Chord:
    """One chord as it was walked. `keys` without the Enter at its station; `figures` are those typed, slips too."""

    target: Target
    figures: Figures
    keys: int = 0
    characters: int = 0
    caught: bool = False
    slip: str = ""


class Hand:
    """Presses keys as a hand on the number pad does; the page is drawn after each."""

    def __init__(self, walk: Walk) -> None:
        self.desk = WalkDesk(walk)
        self.desk.ticks = count().__next__  # a hand that lets a key go before it presses the next
        self.keys = 0

    def type(self, text: str) -> None:
        for character in text + "\n":
            self.press(character)

    def press(self, character: str) -> None:
        key = {"\n": "enter", "*": "asterisk"}.get(character, character)
        self.desk.press(key, None if character == "\n" else character)
        draw_walk(self.desk, 80, 24)
        self.keys += 1


def walked(truth: Truth, path: Path, slips: bool) -> Iterator[Chord]:
    """The first ten chords of a new survey."""
    route = load_route(path)
    clock = _Seconds(END + timedelta(hours=12 + slips))
    hand = Hand(Walk.begin(load_job(route, logs_folder(route)), clock=clock))
    walk = hand.desk.walk
    for number in range(CHORDS):
        while walk.step.kind != "figure" or walk.step.target is None or not walk.step.target.is_chord:
            hand.type("" if walk.step.kind in ("arrive", "result") else typed_at(truth, walk))
        yield _chord(truth, hand, number if slips else None)
    walk.leave()


def _chord(truth: Truth, hand: Hand, number: int | None) -> Chord:
    walk, before = hand.desk.walk, hand.keys
    target = walk.step.target
    assert target is not None
    chord = Chord(target, {})
    while walk.step.target == target and walk.step.kind == "figure":
        slot, right = walk.step.what, typed_at(truth, walk)
        wrong = right if number is None or chord.slip else slipped(number, slot, right)
        chord.slip = chord.slip or (f"{slot} {right} as {wrong}" if wrong != right else "")
        chord.figures[slot] = wrong
        hand.type(wrong)
        chord.characters += len(wrong)
        if hand.desk.refused:
            chord.caught = True
            for _ in wrong:
                hand.press("\b")
            hand.type(right)
    chord.caught |= hand.desk.doubted or bool({"dial_4", "hole_again"} & set(chord.figures))
    chord.keys = hand.keys - before
    while walk.step.target == target and walk.step.kind == "result":
        hand.press("\n")
        chord.keys += 1
        if hand.desk.mode.menu is not None:
            # the reading is kept as it is: what is counted is whether the slip was seen, and clean keys
            hand.type("3" if hand.desk.doubted else "2")
            if hand.desk.mode.menu is not None:
                hand.type("3")
    return chord


def slipped(number: int, slot: str, right: str) -> str:
    """The figure of a slot with this chord's slip, if it belongs there."""
    where, slip = SLIPS[number % len(SLIPS)]
    return slip(*right.partition(".")[::2]) if where == slot else right


def _swapped(whole: str, part: str) -> str:
    return f"{whole[::-1]}.{part}" if whole != whole[::-1] else f"{int(whole) + 3}.{part}"


def _fraction_swapped(whole: str, part: str) -> str:
    return f"{whole}.{part[::-1]}" if part != part[::-1] else f"{whole}.{part[:1]}5"


SLIPS: tuple[tuple[str, Callable[[str, str], str]], ...] = (
    ("hole", lambda whole, _: str(int(whole) + 1)),
    ("dial_2", _swapped),
    ("temperature", lambda whole, part: f"{int(whole) + 10}.{part or 0}"),
    ("hole", lambda whole, _: str(int(whole) - 1)),
    ("dial_3", _fraction_swapped),
)
"""Which figure is mistaken, and how: the first five chords in this order, and once more."""


def sheet_of(chords: Sequence[Chord], label: str, when: datetime) -> str:
    """The same figures as a filled sheet: a row a chord, three minutes apart."""
    rows = [",".join(REQUIRED)]
    for number, chord in enumerate(chords):
        at = f"{when + timedelta(minutes=3 * number):%Y-%m-%dT%H:%M:%SZ}"
        figures = [chord.figures[slot] for slot in REQUIRED[4:]]
        rows.append(",".join([label, at, chord.target.station, chord.target.chord, *figures]))
    return "\n".join(rows) + "\n"


def booked(path: Path, text: str) -> list[Mapping[str, object]]:
    """What the program answers to each row of a sheet."""
    from fieldtui.paper.answer import as_json

    route = load_route(path)
    job = load_job(route, logs_folder(route))
    table = read_table(text, "sheet.csv", REQUIRED, ())
    return [as_json(one, route) for one in book_table(job, table, clock=lambda: END + timedelta(days=3)).answers]


class _Seconds:
    def __init__(self, start: datetime) -> None:
        self.now = start

    def __call__(self) -> datetime:
        self.now += timedelta(seconds=1)
        return self.now


def figures(quick: bool) -> Iterator[Figure]:
    """Keys of ten clean chords beside what is asked, and slips seen while the tape is hooked."""
    found: dict[bool, list[Chord]] = {}
    for slips in (False, True):
        with tempfile.TemporaryDirectory() as folder:
            path = lay_demo(Path(folder) / "job", END)
            found[slips] = list(walked(read_truth(path), path, slips))
    most = max(chord.keys - chord.characters for chord in found[False])
    yield Figure("keys of a clean chord besides the characters of its figures, the most", most, 6)
    yield Figure("keys of ten clean chords", sum(chord.keys for chord in found[False]))
    caught = sum(chord.caught for chord in found[True])
    yield Figure("of ten slips, seen while the tape is hooked", caught, CHORDS, at_least=True)


def lines() -> Iterator[str]:
    """The figures, as a table."""
    found: dict[bool, list[Chord]] = {}
    told: dict[bool, int] = {}
    typed: dict[bool, int] = {}
    for slips in (False, True):
        with tempfile.TemporaryDirectory() as folder:
            path = lay_demo(Path(folder) / "job", END)
            found[slips] = list(walked(read_truth(path), path, slips))
        with tempfile.TemporaryDirectory() as folder:
            path = lay_demo(Path(folder) / "job", END)
            text = sheet_of(found[slips], "sheet", END + timedelta(hours=12))
            typed[slips] = len(text.partition("\n")[2])
            rows = booked(path, text)
            told[slips] = sum(1 for row in rows if row["agrees"] is False or row["repeats_agree"] is False)
    for chord in found[False]:
        place = f"{chord.target.station} {chord.target.chord}"
        yield (
            f"{place}: {chord.characters} characters of figures, {chord.keys} keys, "
            f"{chord.keys - chord.characters} besides"
        )
    for chord in found[True]:
        yield f"{chord.target.station} {chord.target.chord}: {chord.slip}: {'caught' if chord.caught else 'not caught'}"
    keys = sum(chord.keys for chord in found[False])
    caught = sum(chord.caught for chord in found[True])
    yield ""
    yield "| ten chords | the walk | a paper sheet |"
    yield "|---|---|---|"
    figures = sum(len(chord.figures) for chord in found[False])
    yield f"| entries | {figures} figures, once | {figures} figures and {CHORDS} times by hand, all typed again |"
    yield f"| keys | {keys} | {typed[False]}, at a desk afterwards |"
    yield f"| of {CHORDS} slips, seen with the tape hooked | {caught} | 0 |"
    yield f"| seen when the sheet is booked |  | {told[True]} |"
    yield f"| clean chords doubted | {sum(chord.caught for chord in found[False])} | {told[False]} |"


if __name__ == "__main__":
    for line in lines():
        print(line)
