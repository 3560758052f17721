"""Kill -9 of the real program in a pseudo-terminal: `fieldtui walk`, keys typed as its prompts ask, again and again.

    start, resume ──► type what the prompt asks ──► killed at a random instant ──► look into the log ──► start again

Shown as saved is what stands on the screen outside the entry field, and what was typed at a prompt that has given way
to the next one. After each kill it must be in the log; after each start the screen must stand at the same prompt.
"""

from __future__ import annotations

import random
import re
import shutil
import time
from dataclasses import dataclass, field
from pathlib import Path

from fieldtui.log import Record, read_folder
from harness.jobs import lay
from harness.terminal import Terminal

FIELD = re.compile(r"\[ *[^\]]*\]")
Step = tuple[str, ...]
ENTER = ("Stage of construction", "Cautions read", "press Enter", "unhook", "Enter: accept")  # Enter alone, or `AGAIN`
ANSWERS = {"Who reads": "AB", "Who records": "CD", "Tape in use": "1", "Extensometer in use": "1"}
SLOTS = ("hole again", "hole", "dial 1", "dial 2", "dial 3", "dial 4", "dial 5", "temp degC", "dial zero")
AGAIN = "a"  # accept, and read the same chord once more
FRESH = 40  # kills in one folder: a survey of thousands of records would only make the program slow
PATIENCE = 40.0  # s, for a prompt on a busy machine


@dataclass
class Told:
    """What a run of kills has shown."""

    kills: int = 0
    starting: int = 0  # killed before the first prompt
    saved: int = 0  # figures and answers shown as saved
    same_step: int = 0  # starts compared with the screen before the kill
    beyond: int = 0  # starts at the next prompt: the entry was on the disk and its screen was not drawn yet

    def __str__(self) -> str:
        return (
            f"{self.kills} kills of `fieldtui walk` in a pty ({self.starting} while it started), {self.saved} entries "
            f"shown as saved, none lost; resumed at the same step {self.same_step} times, {self.beyond} times one "
            "entry on, which was on the disk and not shown yet"
        )


@dataclass
class Walked:
    """One folder's survey, walked and killed. What is typed at one prompt is one entry of it."""

    route: Path
    chance: random.Random
    told: Told
    number: int = 0  # of the figure typed last: no two of a reading are alike
    booked: list[str] = field(default_factory=list)  # as the log had it after the last kill
    typed: list[str] = field(default_factory=list)  # since then
    shown: int = 0  # so many of these were shown as saved
    step: Step = ()  # what the screen asked for last
    same: bool = False  # whether the next start must stand there

    def kill_once(self, *, starting: bool) -> None:
        """One start and one kill; AssertionError where something shown is lost or the step is another one."""
        with Terminal("walk", str(self.route)) as terminal:
            if starting:
                terminal.pump(self.chance.uniform(0.05, 1.2))
            else:
                self._to_the_prompt(terminal)
                self._walk(terminal, self.chance.uniform(0, 0.6))
            terminal.kill()
            if not starting:
                self._look(terminal)
        self.told.kills += 1
        self.told.starting += starting
        self._compare()

    def _to_the_prompt(self, terminal: Terminal) -> None:
        terminal.wait_for("resume survey" if self.booked or self.step else "start a new survey", PATIENCE)
        terminal.type("1\n")
        step = _step_at_rest(terminal)
        if self.same:
            assert step == self.step, f"stood at {self.step} and resumed at {step}"
            self.told.same_step += 1
        elif self.step:
            assert step != self.step, f"one entry more is in the log, and the step is still {step}"
            if len(step) > 1:
                assert step[-1] == self.booked[-1], f"the log ends with {self.booked[-1]}, and the step is {step}"
            self.told.beyond += 1
        self.step = step

    def _walk(self, terminal: Terminal, seconds: float) -> None:
        """Type at each prompt what it asks, one entry or a chord's first figures in one burst, until time is over."""
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            answers = self._answers(burst=self.chance.random() < 0.3)
            self.typed += answers
            terminal.type("".join(typed + ("" if typed == AGAIN else "\n") for typed in answers))
            while time.monotonic() < end and self.shown < len(self.typed):
                terminal.pump(0.01)
                self._look(terminal)

    def _answers(self, *, burst: bool) -> list[str]:
        """What a surveyor would type at the prompt."""
        asks = self.step[0]
        if asks == "hole" and burst:
            return ["320", self._figure(), self._figure(), self._figure()]
        if asks in ("hole", "hole again"):
            return ["320"]
        if asks in SLOTS:
            return ["0.00" if asks == "dial zero" else self._figure()]
        return [AGAIN] if asks in ENTER[-2:] else [ANSWERS.get(asks, "")]

    def _figure(self) -> str:
        self.number += 1
        return f"{10 + self.number % 3000 / 100:.2f}"

    def _look(self, terminal: Terminal) -> None:
        """Take note of what the screen shows as saved."""
        step = step_on(terminal.text())
        if step is not None and step != self.step:
            self.shown = _last(self.typed, step[-1]) if len(step) > 1 else len(self.typed)
            self.step = step

    def _compare(self) -> None:
        """What was shown is in the log, in order, and nothing that was never typed."""
        logs = read_folder(self.route.parent / "logs")
        assert not any(log.problems for log in logs.logs)
        there = [text for log in logs.logs for record in log.records for text in _as_typed(record)]
        new = there[len(self.booked) :]
        assert there[: len(self.booked)] == self.booked, "what was in the log is there no more"
        assert new == self.typed[: len(new)], f"typed {self.typed}, in the log {new}"
        assert len(new) >= self.shown, f"{self.typed[len(new) : self.shown]} shown as saved, not in the log"
        self.told.saved += len(new)
        if self.typed or not self.booked:
            self.same = bool(self.step) and len(new) == self.shown
        self.booked, self.typed, self.shown = there, [], 0


def _as_typed(record: Record) -> list[str]:
    """The keys that brought a record about."""
    if record.kind in ("figure", "said"):
        typed = str(record.data["typed"])
        return [{"T1": "1", "X1": "1", "seen": ""}.get(typed, typed)]
    return {"arrived": [""], "accepted": [AGAIN]}.get(record.kind, [])


def _last(typed: list[str], text: str) -> int:
    """How many were typed up to the last that reads so; 0 where none does."""
    return next((place for place in range(len(typed), 0, -1) if typed[place - 1] == text), 0)


def _step_at_rest(terminal: Terminal) -> Step:
    """The step that the screen stands at once it has been drawn whole."""
    end = time.monotonic() + PATIENCE
    step: Step | None = None
    while step is None or step != step_on(terminal.text()):
        assert time.monotonic() < end, terminal.text()
        step = step_on(terminal.text())
        terminal.pump(0.03)
    return step


def step_on(text: str) -> Step | None:
    """What the screen asks for, and the figures that stand beside the field; None for a screen half drawn."""
    lines = text.splitlines()
    rules = [place for place, line in enumerate(lines) if line.startswith("─" * 40)]
    if len(rules) < 2 or "What now" in text:
        return None
    prompt = [line for line in lines[rules[-1] + 1 : -1] if line.strip()]
    whole = "\n".join(prompt)
    found = FIELD.search(prompt[1]) if len(prompt) > 1 else None
    if found is not None:
        for slot in SLOTS:
            for label in re.finditer(slot, prompt[0]):
                if 0 <= label.start() - found.start() <= 3 or prompt[0].strip() == slot:
                    return (slot, *FIELD.sub(" ", prompt[1]).split())
    asks = next((asks for asks in (*ANSWERS, *ENTER) if asks in whole), None)
    return None if asks is None else (asks,)


def kill_walks(place: Path, times: int, seed: int) -> Told:
    """So many kills, at random instants of the start and of the walk."""
    chance = random.Random(seed)
    told = Told()
    walked: Walked | None = None
    for number in range(times):
        if number % FRESH == 0 or walked is None:
            folder = place / str(number)
            folder.mkdir(parents=True)
            walked = Walked(lay(folder), chance, told)
        walked.kill_once(starting=number % 4 == 3)
        if number % FRESH == FRESH - 1:
            shutil.rmtree(place / str(number - FRESH + 1))
    return told
