"""What happens next: mostly what a surveyor would type at the page that stands there, often anything at all.

Only what a person could see is looked at: the desk's prompt, its list, the figures of the ground.
"""

from __future__ import annotations

from collections import deque
from decimal import Decimal
from random import Random

from fieldtui.job import Walk
from fieldtui.laying.desk import LayDesk
from fieldtui.laying.opening import DraftDesk
from fieldtui.review.desk import ReviewDesk
from fieldtui.route import Chord, Extensometer, Route, Station, Tape
from fieldtui.survey import Target, instruments
from fieldtui.tui.desk import WalkDesk
from fieldtui.tui.desks import Desk
from fieldtui.tui.journal import FormDesk
from fieldtui.tui.leafing import LeafingDesk
from fieldtui.tui.list_desk import ListDesk
from fieldtui.tui.start import StartDesk
from harness.laying import DRIFT
from tests.monkey.event import Event

ENTER, ESCAPE = b"\r", b"\x1b"
FUNCTIONS = (
    b"\x1bOP", b"\x1bOQ", b"\x1bOR", b"\x1bOS", b"\x1b[15~", b"\x1b[17~", b"\x1b[18~", b"\x1b[19~", b"\x1b[20~",
    b"\x1b[21~", b"\x1b[23~", b"\x1b[24~",
)  # fmt: skip
EDITING = (
    b"\x1b[A", b"\x1b[B", b"\x1b[C", b"\x1b[D", b"\x1b[H", b"\x1b[F", b"\x1b[5~", b"\x1b[6~", b"\x1b[3~", b"\x1b[2~",
    b"\x7f", b"\x08", b"\t", b"\x1b[Z", b" ",
)  # fmt: skip
PAD = tuple(bytes([sign]) for sign in b"0123456789.,+-*/")
PAD_APPLICATION = tuple(b"\x1bO" + bytes([sign]) for sign in b"pqrstuvwxynlkjoMX")
LETTERS = tuple(bytes([sign]) for sign in b"abcdefghijklmnopqrstuvwxyzACKNQUX?!%&=:;'\"[]{}()<>@#$^_|~`\\")
HELD = tuple(
    bytes([sign]) for sign in (1, 2, 3, 4, 5, 6, 10, 11, 12, 14, 15, 16, 17, 18, 20, 21, 22, 23, 24, 25, 28, 31)
)
ALT = (b"\x1bu", b"\x1b1", b"\x1b\r", b"\x1b[1;5C", b"\x1b[1;2A", b"\x1b[13;2u", b"\x1b[27u", b"\x1b[57414u")
JUNK = (
    b"\xff", b"\xfe\xff", b"\xc3", b"\xe2\x82", b"\xf0\x9f", b"\x80", b"\xed\xa0\x80", b"\x00", b"\x00\x00", b"\x9b",
    b"\xef\xbb\xbf", "٣".encode(), "é".encode(), "㎜".encode(), "👷".encode(), "e\u0301".encode(), "\u202e".encode(),
    "\u200b".encode(), b"\x1b[999999999999u", b"\x1b[1114112u", b"\x1b[55296u", b"\x1b[<0;5;5M", b"\x1b[M !!",
    b"\x1b[12;40R", b"\x1b[I", b"\x1b[O", b"\x1b[?2026;2$y", b"\x1b]11;rgb:00/00/00\x07", b"\x1b[48;24;80;480;640t",
    b"\x1b[48;3;10;1;1t", b"\x1bP1$r0m\x1b\\",
)  # fmt: skip
HALF = (
    b"\x1b",
    b"\x1b[",
    b"\x1bO",
    b"\x1b[1",
    b"\x1b[1;",
    b"\x1b[200",
    b"\xc3",
    b"\xe2\x82",
    b"\x1b[<0;1",
    b"\x1b]11;",
)
PASTES = (
    "320", "12.34", "320\n12.34\n12.31", "not a figure", "1\t2\t3", "\r\n", "", " 12,5 ", "0", "A" * 10_000,
    "7" * 10_000, "12.30\n" * 1_700, "\x1b[31mred\x1b[0m", "naïve €‰ 混", "-", "[bold]12[/bold]",
)  # fmt: skip
TEXTS = (
    "AB", "seepage at the left wall", "12.5", "2031-05-04 02:30", "2031-05-03", "07:30", "0", "-", "L-R", "T-02", "25",
    "4.2", "[b]x[/b] — μ", "q", "1", "600", "5000", "1.2", "rock", "engineer on duty", "99999999", "-3", "12,7",
)  # fmt: skip
GOOD_TEXTS = ("AB", "2031-05-03", "2031-05-04 01:30", "12.5", "seen twice", "07:30")


class Hand:
    """Draws events for the page that stands there. A text is typed key by key, and may be disturbed at any of them."""

    def __init__(self, chance: Random, wild: float = 0.12) -> None:
        self.chance, self.wild = chance, wild
        self._coming: deque[Event] = deque()
        self._lengths: dict[tuple[str, tuple[str, str]], Decimal] = {}
        self._planted: tuple[Target, str] | None = None

    def next(self, desk: Desk) -> Event:
        """One event more."""
        if self.chance.random() < self.wild:
            event = self.anything()
            if event.kind not in ("resize", "clock", "key"):
                self._coming.clear()
            return event
        if not self._coming:
            self._type(self._sensible(desk))
        return self._coming.popleft()

    # -- anything ----------------------------------------------------------------------------------------------------

    def anything(self) -> Event:
        """Whatever can come."""
        chance = self.chance
        kind = chance.choices(
            ("key", "junk", "half", "paste", "resize", "clock", "signal"), (60, 8, 6, 7, 13, 3, 5)
        )[0]  # fmt: skip
        seconds = round(chance.uniform(0.0, 4.0), 2)
        if kind == "key":
            pool = chance.choices((PAD, LETTERS, FUNCTIONS, EDITING, (ENTER, ESCAPE), PAD_APPLICATION, HELD, ALT),
                                  (25, 22, 12, 14, 14, 4, 5, 4))[0]  # fmt: skip
            return Event("key", chance.choice(pool), seconds=seconds)
        if kind == "junk":
            noise = bytes(chance.randrange(256) for _ in range(chance.randrange(1, 12)))
            return Event("junk", noise if chance.random() < 0.4 else chance.choice(JUNK), seconds=seconds)
        if kind == "half":
            return Event("half", chance.choice(HALF), seconds=seconds, pause=False)
        if kind == "paste":
            text = chance.choice(PASTES).encode()
            bracketed = chance.random() < 0.6 or len(text) > 500
            data = b"\x1b[200~" + text.replace(b"\x1b[", b"") + b"\x1b[201~" if bracketed else text
            return Event("paste" if bracketed else "paste, not bracketed", data, seconds=seconds)
        if kind == "resize":
            usual = chance.random() < 0.6
            size = chance.choice(((80, 24), (60, 20), (132, 43), (200, 60))) if usual else (
                chance.randint(20, 250), chance.randint(5, 80))  # fmt: skip
            return Event("resize", size=size)
        if kind == "clock":
            return Event("clock", seconds=chance.choice((-7200.0, -90.0, -1.0, 0.0, 3600.0, 40_000.0, 900_000.0)))
        return Event(chance.choice(("SIGTERM", "SIGHUP", "SIGINT", "kill -9", "power cut")))

    # -- what is typed -------------------------------------------------------------------------------------------------

    def _type(self, data: bytes | tuple[bytes, ...]) -> None:
        """Key by key, or all in one write."""
        keys = [bytes([sign]) for sign in data] if isinstance(data, bytes) else list(data)
        if self.chance.random() < 0.15 and len(keys) > 1:
            self._coming.append(Event("burst", b"".join(keys)))
        else:
            self._coming.extend(Event("key", key, seconds=round(self.chance.uniform(0.1, 2.0), 2)) for key in keys)
        if not keys:
            self._coming.append(Event("key", ENTER))

    def _sensible(self, desk: Desk) -> bytes | tuple[bytes, ...]:
        if isinstance(desk, WalkDesk):
            return self._walk(desk)
        if isinstance(desk, LayDesk) and desk.wide:
            return DRIFT.get(desk.ask.key, "").encode() + ENTER if self.chance.random() < 0.8 else self._text()
        if isinstance(desk, LayDesk | DraftDesk) and self.chance.random() < 0.8:
            return ENTER  # leads on to the end of the questions
        if isinstance(desk, ListDesk):
            return self._list(desk)
        if isinstance(desk, LeafingDesk):
            return self.chance.choice((ENTER, ENTER, b"0", (b"\x1b[A",)))
        if isinstance(desk, ReviewDesk):
            return self._review(desk)
        return self.chance.choice((ENTER, b"0" + ENTER, b"1" + ENTER, b"2" + ENTER, b"+", b"q"))

    def _text(self) -> bytes:
        return self.chance.choice(TEXTS if self.chance.random() < 0.4 else GOOD_TEXTS).encode() + ENTER

    def _number(self, count: int) -> bytes:
        return str(self.chance.randint(1, max(1, count))).encode() + ENTER

    def _list(self, desk: ListDesk) -> bytes | tuple[bytes, ...]:
        chance = self.chance
        if chance.random() < 0.06:
            return chance.choice((b"0" + ENTER, (ESCAPE,), b"+", (b"\x1b[B", ENTER)))
        if desk.wide:
            if isinstance(desk, FormDesk) and desk.field.text and chance.random() < 0.5:
                return ENTER
            return self._text()
        if isinstance(desk, StartDesk):
            walks = [
                place for place, item in enumerate(desk.menu.items, 1) if item.text.startswith(("resume", "start a n"))
            ]
            if walks and chance.random() < 0.4:
                return str(chance.choice(walks)).encode() + ENTER
        return self._number(len(desk.menu.items))

    def _review(self, desk: ReviewDesk) -> bytes | tuple[bytes, ...]:
        chance = self.chance
        numbers = [one.number for one in desk.choices()] or [1, 2, 3]
        drawn = chance.random()
        if drawn < 0.55:
            return str(chance.choice(numbers)).encode() + ENTER
        return chance.choice(
            (ENTER, b"+", b"-", b"?", b"0" + ENTER, b"1" + ENTER, b"5" + ENTER, (b"\x1b[B",), (b"\x1b[A",))
        )

    # -- the walk ----------------------------------------------------------------------------------------------------

    def _walk(self, desk: WalkDesk) -> bytes | tuple[bytes, ...]:
        chance, mode, step = self.chance, desk.mode, desk.step
        if mode.name == "help":
            return chance.choice((ENTER, (ESCAPE,), (b"\x1b[B",), b"x"))
        if mode.menu is not None:
            if chance.random() < 0.08:
                return chance.choice((b"0" + ENTER, (ESCAPE,), (b"\x1b[B", ENTER), b"99" + ENTER))
            return self._number(len(mode.menu.items))
        if mode.name in ("text", "unsaved"):
            return self._text() if chance.random() < 0.9 else (ESCAPE,)
        if not desk.field.empty and not desk.field.fresh and chance.random() < 0.5:
            return tuple([b"\x7f"] * len(desk.field.text))[:12]
        if mode.name == "correct" and desk.target is not None:
            return self._figure(desk.walk, desk.target, mode.slot)
        if desk.seen.open_calls and step.kind != "closed" and desk.field.empty and chance.random() < 0.1:
            return b"w"
        if chance.random() < 0.05 and step.kind not in ("say", "closed"):
            return chance.choice((b"*", b"/", b"u", b"j", b"t", b"a", b"k", b"w", b"x", b"e", b"+", b"?"))
        if step.kind == "say":
            return self._answer(desk)
        if step.kind == "figure" and step.target is not None:
            return self._figure(desk.walk, step.target, step.what)
        if step.kind == "result":
            doubtful = desk.doubted or desk.striking
            return chance.choice((ENTER, ENTER, b"a", b"k", b"*") if doubtful else (ENTER,) * 8 + (b"a", b"*"))
        return ENTER

    def _answer(self, desk: WalkDesk) -> bytes:
        what = desk.step.what
        if what in ("tape", "extensometer"):
            return self.chance.choice((b"1", b"1", b"1", b"2")) + ENTER
        if what.startswith("face "):
            return self.chance.choice((b"", b"130.5", b"118", b"x")) + ENTER
        return {"reader": b"AB", "recorder": b"CD"}.get(what, b"") + ENTER

    def _figure(self, walk: Walk, target: Target, slot: str) -> bytes:
        """What the instrument shows, sometimes misread."""
        chance = self.chance
        if slot == "zero":
            return chance.choice((b"0.00", b"0.00", b"0.01", b"0.30")) + ENTER
        if slot == "temperature":
            warm = "54.0" if walk.route.units.name == "US" else "12.0"
            return chance.choices((warm, "12.4", "9,8", "1.2", "53.5"), (70, 12, 8, 4, 6))[0].encode() + ENTER
        hole, dial = self._reading(walk, target)
        if slot in ("hole", "hole_again"):
            return str(hole + chance.choices((0, 1, -1, 10), (92, 3, 3, 2))[0]).encode() + ENTER
        wide = Decimal("0.03") if walk.route.units.name == "metric" else Decimal("0.001")
        shown = dial + wide * chance.choices((0, 1, -1, 200), (50, 23, 23, 4))[0]
        text = f"{max(Decimal(0), shown):.{walk.route.units.decimals}f}"
        return (text.replace(".", ",") if chance.random() < 0.1 else text).encode() + ENTER

    def _reading(self, walk: Walk, target: Target) -> tuple[int, Decimal]:
        """Hole and dial of a chord, a little shorter from survey to survey, now and then much."""
        route = walk.route
        tape, extensometer = instruments(route, walk.state, target)
        if tape is None or extensometer is None:
            return 1, Decimal(1)
        key = (walk.survey, target.key)
        if key not in self._lengths:
            moved = Decimal(self.chance.choices((0, -1, -8), (80, 15, 5))[0]) / (
                1 if route.units.name == "metric" else 25
            )
            self._lengths[key] = _length(walk, target) + moved
        return on_the_tape(tape, extensometer, self._lengths[key])


def on_the_tape(tape: Tape, extensometer: Extensometer, length: Decimal) -> tuple[int, Decimal]:
    """The hole and the dial reading that a length gives, as near as the tape and the dial go."""
    low, high = extensometer.dial_range
    adds = extensometer.dial == "adds"
    beyond = length - tape.first_hole_distance - (low + 1 if adds else -(low + 1))
    hole = tape.first_hole + int(beyond // tape.pitch) + (0 if adds else 1)
    hole = max(tape.first_hole, min(tape.first_hole + tape.holes - 1, hole))
    at = tape.first_hole_distance + (hole - tape.first_hole) * tape.pitch
    return hole, max(low, min(high, length - at if adds else at - length))


def _length(walk: Walk, target: Target) -> Decimal:
    """What the tape has to reach: as it was last, else as the anchors lie."""
    if target.is_frame:
        return walk.route.controls[0].length
    for segment in reversed(walk.ground.chord(target.key).segments):
        if segment.readings:
            return Decimal(str(round(float(segment.readings[-1].length.value), 3)))
    return reach(walk.route, *walk.place(target))


def reach(route: Route, station: Station, chord: Chord) -> Decimal:
    """From anchor to anchor as the route has them, small units."""
    anchors = {anchor.name: anchor for anchor in station.anchors}
    hook, far = anchors[chord.hook], anchors[chord.far]
    return ((hook.across - far.across) ** 2 + (hook.up - far.up) ** 2).sqrt() * route.units.small_per_large
