"""With the index a job is the same as without it, whatever has become of folder and index in between."""

from __future__ import annotations

import shutil
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from unittest.mock import patch

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule, run_state_machine_as_test
from msgspec.structs import replace
from pydantic_core import from_json

from fieldtui.job import Job, load_job, logs_folder
from fieldtui.job.job import job_of
from fieldtui.job.kept import KeptBookings, derive, pieces_of
from fieldtui.job.used import used_by
from fieldtui.log import LogFile, OsCalls, read_folder
from fieldtui.log.index import NAME
from fieldtui.log.index_file import IndexFile
from fieldtui.log.record import seal
from fieldtui.route import load_route
from fieldtui.survey import Target, fold
from harness.jobs import lay, with_past
from harness.shelf import Read, Shelf, day, place_of, route_with, stamp
from harness.year import year


def content_of(log: LogFile) -> bytes:
    """The bytes of a log of the shelf."""
    return b"".join(seal(one.seq, one.at, one.kind, one.data, one.prev) for one in log.records)


def put(log: LogFile, folder: Path) -> Path:
    folder.mkdir(exist_ok=True)
    path = folder / log.path.name.replace(" ", "-")
    path.write_bytes(content_of(log))
    return path


@pytest.fixture
def later() -> Iterator[None]:
    """Let the files have been written long before they are indexed."""
    now = time.time_ns
    with patch.object(time, "time_ns", lambda: now() + 60_000_000_000):
        yield


def odd() -> Shelf:
    """Surveys in which everything happens that a state can hold."""
    shelf = Shelf(route_with())
    target = Target("A", "L-R").data()
    at = stamp(day(0))
    call = {"station": "A", "chord": "L-R", "level": "look", "what": "closing", "survey": "id", "role": "engineer"}
    shelf.survey(
        0,
        Read("L-R", "8000.10"),
        Read("R-L", "8000.20"),
        Read("L-R", "8000.30", tape="T2"),
        Read("L-K", reason="wet"),
        frame="5000.0",
        label="odd",
        more=[
            ("note", {"text": "[a] \N{GREEK SMALL LETTER MU}", "station": "A", "chord": "L-R"}),
            ("figure", {**target, "slot": "dial_1", "typed": "12.99", "unit": "mm", "read_at": at}),
            ("struck", {"seq": 9, "reason": "misread", "by": "AB"}),
            ("struck", {"seq": 777, "reason": "is not there", "by": "AB"}),
            ("call", {**call, "person": "EF", "told_at": at, "means": "radio", "answer": "seen", "by": "AB"}),
            ("said", {"what": "reader", "typed": "XY"}),
            ("clock", {"shift_seconds": 61}),
            ("arrived", {"station": "B"}),
            ("from_the_future", {}),
            ("go", {"end": True}),
        ],
    )
    shelf.survey(
        1,
        label="earlier",
        more=[
            ("earlier", {"station": "A", "chord": "L-R", "length": "8000.4", "uncertainty": "0.2", "baseline": True}),
            ("earlier", {"station": "A", "chord": "L-R", "length": "8000.5", "read_at": at, "tape": "T9"}),
        ],
    )
    shelf.survey(2, Read("L-R", "8000.00"), label="practice", scope="practice")
    shelf.survey(3, Read("L-R", "7999.00", outcome="kept", reason="sure"), label="kept")
    return shelf


def told_by(job: Job) -> tuple[object, ...]:
    """Everything that is shown of a job."""
    return (
        job.problems,
        job.warnings,
        [question.text for question in job.questions()],
        job.history(),
        [(survey.id, survey.label, survey.started, survey.route, survey.state, survey.open) for survey in job.surveys],
        job.last_answers(),
        job.open_calls(),
        job.ground(),
        [(log.path, log.id, log.state, log.last, tuple(log.records)) for log in job.logs.logs],
    )


def without_index(job: Job) -> Job:
    return job_of(job.route, job.folder, read_folder(job.folder))


@pytest.mark.usefixtures("later")
def test_a_state_comes_back_as_it_was(tmp_path: Path) -> None:
    for shelf in (odd(), year()):
        folder = tmp_path / str(len(shelf.logs))
        for log in shelf.logs:
            put(log, folder)
        load_job(shelf.route, folder)
        job = load_job(shelf.route, folder)
        kept = [survey for survey in job.surveys if isinstance(survey.state.bookings, KeptBookings)]
        assert len(kept) == sum(log.head["scope"] != "journal" for log in shelf.logs)
        for survey in kept:
            expected = fold(survey.logs[0].records, survey.logs[0].id)
            assert survey.state == expected
            assert list(survey.state.bookings) == list(expected.bookings)
            for target in expected.bookings:
                assert target in survey.state.bookings
                assert survey.state.bookings.of(target.key)[target] == expected.bookings[target]  # type: ignore[union-attr]
        assert told_by(job) == told_by(without_index(job))


@pytest.mark.usefixtures("later")
def test_opening_reads_only_what_has_changed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened: list[str] = []
    right = OsCalls.open_read
    monkeypatch.setattr(OsCalls, "open_read", lambda self, path: opened.append(path.name) or right(self, path))
    shelf = year()
    paths = [put(log, tmp_path) for log in shelf.logs]
    load_job(shelf.route, tmp_path)
    assert set(opened) == {path.name for path in paths}
    assert len(opened) == len(paths) + 1, "one of them again, for the route that is not the one at hand"
    opened.clear()
    job = load_job(shelf.route, tmp_path)
    assert (job.problems, job.warnings, job.questions(), job.open_calls()) == ((), (), (), ())
    journals = sum(log.head["scope"] == "journal" for log in shelf.logs)
    assert len(opened) == journals + 1, "the journals, and one log of the route that is not the one at hand"
    opened.clear()
    paths[3].write_bytes(paths[3].read_bytes()[:-200])
    load_job(shelf.route, tmp_path)
    assert len(opened) == journals + 2
    assert paths[3].name in opened


@pytest.mark.usefixtures("later")
def test_an_amendment_of_a_kept_survey_counts(tmp_path: Path) -> None:
    shelf = Shelf(route_with())
    log = shelf.survey(0, Read("L-R", "8000.00"))
    shelf.survey(1, Read("L-R", "7990.00"))
    put(shelf.logs[0], tmp_path)
    put(shelf.logs[1], tmp_path)
    load_job(shelf.route, tmp_path)
    put(shelf.journal(2, ("struck", {**place_of(log, "dial_1"), "reason": "misread", "typed": "5.00"})), tmp_path)
    job = load_job(shelf.route, tmp_path)
    assert told_by(job) == told_by(without_index(job))
    assert job.surveys[0].state.bookings[Target("A", "L-R")].slots["dial_1"].typed == "5.00"


def test_what_is_no_survey_by_itself_is_not_kept() -> None:
    shelf = year()
    journal = next(log for log in shelf.logs if log.head["scope"] == "journal")
    assert pieces_of(journal) is None
    assert pieces_of(shelf.logs[0]) is not None


def test_a_survey_that_lost_the_name_of_its_tape_is_not_kept() -> None:
    """What is kept is taken to have every name: whether one is missing is not looked for again."""
    shelf = Shelf(route_with())
    whole = shelf.survey(0, Read("L-R", "8000.00"))
    assert pieces_of(whole) is not None
    records = tuple(one for one in whole.records if one.data.get("what") != "tape")
    assert len(records) < len(whole.records)
    assert pieces_of(replace(whole, records=records)) is None


def test_what_a_kept_survey_was_read_with_is_known_without_its_bookings() -> None:
    for log in odd().logs[:1]:
        state = fold(log.records, log.id)
        _, things, _ = from_json((pieces_of(log) or {})["with"])
        used = {tuple(thing) for thing in things}
        assert used == used_by(state.bookings)
        assert {("tape", "T2", ""), ("anchor", "A", "R"), ("control", "", "")} <= used


def test_another_program_makes_its_own_index(monkeypatch: pytest.MonkeyPatch) -> None:
    before = derive().version
    assert derive().version == before
    monkeypatch.setattr("fieldtui.job.kept.__version__", "0.0.0")
    assert derive().version != before


class Folders(RuleBasedStateMachine):
    """Logs come, go and change, and so does the index; the job is always the same as without it."""

    @initialize()
    def begin(self) -> None:
        self.place = Path(tempfile.mkdtemp())
        self.shelf = year()
        self.logs = self.shelf.logs[:6] + [log for log in self.shelf.logs if log.head["scope"] == "journal"]
        self.logs += self.shelf.logs[-4:] + odd().logs
        self.folder = self.place / "logs"
        for log in self.logs[:4]:
            put(log, self.folder)

    def _some(self, pick: int) -> Path | None:
        paths = sorted(self.folder.glob("*.jsonl"))
        time.sleep(0.01)  # a tick of the file system's clock
        return paths[pick % len(paths)] if paths else None

    @rule(pick=st.integers(0, 99), many=st.integers(1, 4))
    def come(self, pick: int, many: int) -> None:
        for number in range(many):
            put(self.logs[(pick + number) % len(self.logs)], self.folder)

    @rule(pick=st.integers(0, 99))
    def go(self, pick: int) -> None:
        if (path := self._some(pick)) is not None:
            path.unlink()

    @rule(pick=st.integers(0, 99), lines=st.integers(1, 9))
    def lose_lines(self, pick: int, lines: int) -> None:
        if (path := self._some(pick)) is not None:
            path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[:-lines]))

    @rule(pick=st.integers(0, 99), bit=st.integers(0, 10**6))
    def flip(self, pick: int, bit: int) -> None:
        if (path := self._some(pick)) is not None:
            self._flip(path, bit)

    @rule(bit=st.integers(0, 10**6))
    def flip_the_index(self, bit: int) -> None:
        if (self.folder / NAME).exists():
            self._flip(self.folder / NAME, bit)

    @rule()
    def delete_the_index(self) -> None:
        (self.folder / NAME).unlink(missing_ok=True)

    def _flip(self, path: Path, bit: int) -> None:
        content = bytearray(path.read_bytes())
        if content:
            content[bit // 8 % len(content)] ^= 1 << bit % 8
            path.write_bytes(content)

    @invariant()
    def the_job_is_the_same(self) -> None:
        if not hasattr(self, "folder"):
            return
        now = time.time_ns
        for ahead in (0, 60_000_000_000):
            with patch.object(time, "time_ns", lambda ahead=ahead: now() + ahead):
                job = load_job(self.shelf.route, self.folder)
                assert told_by(job) == told_by(without_index(job))

    def teardown(self) -> None:
        if hasattr(self, "place"):
            shutil.rmtree(self.place)


def test_the_job_is_the_same_with_and_without_the_index() -> None:
    few = settings(
        max_examples=15,
        stateful_step_count=10,
        deadline=None,
        derandomize=True,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    run_state_machine_as_test(Folders, settings=few)


def test_surveys_are_gone_through_whole_with_one_look_into_the_index_for_each_chord(
    tmp_path: Path, later: None
) -> None:
    path = with_past(lay(tmp_path), surveys=6)
    route = load_route(path)
    for _ in range(2):
        job = load_job(route, logs_folder(route))
    assert all(isinstance(survey.state.bookings, KeptBookings) for survey in job.surveys)
    looks: list[str] = []
    pieces = IndexFile.pieces
    with patch.object(IndexFile, "pieces", lambda self, part: looks.append(part) or pieces(self, part)):
        booked = [len(survey.state.bookings) for survey in job.surveys]
    assert booked == [4] * 6, "three chords and a zero"
    assert len(looks) == len(set(looks)) == 4
