"""The demo job as a folder: the route, the scenario it was made from, a year of logs, one of them not closed.

    demo.toml        the route
    scenario.toml    what the figures are made from, with the seed and the moment that the story ends
    today.txt        what there is to type in the rest of today's survey
    logs/            the surveys, written as every log is written

The same seed and end give the same bytes.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from random import Random
from typing import Any

from fieldtui.demo.generate import survey_lines
from fieldtui.demo.grown import route_text_with
from fieldtui.demo.plan import Planned, planned_surveys
from fieldtui.demo.scenario import read_scenario
from fieldtui.demo.today import figures_to_type
from fieldtui.demo.truth import Truth
from fieldtui.errors import FieldError
from fieldtui.job import SURVEY, route_record
from fieldtui.job.closing import closing_data
from fieldtui.job.job import LOGS
from fieldtui.log import Identity, LogWriter
from fieldtui.places import shipped
from fieldtui.route import Route, parse_route
from fieldtui.survey import fold

ROUTE = "demo.toml"
SCENARIO = "scenario.toml"
TODAY = "today.txt"
INVENTED = Identity(machine="demo", pid=0, user="demo", boot="")
"""Who wrote the demo's logs: nobody, on no machine."""


def lay_demo(folder: Path, end: datetime, seed: int = 1) -> Path:
    """Lay the demo job in a new folder and give its route file. `end` is the moment it ends at, with a time zone.

    `FieldError` where the folder is there already or cannot be made; nothing is left behind then.
    """
    if end.tzinfo is None:
        raise ValueError("the end of the demo needs a time zone")
    if folder.exists() or folder.is_symlink():
        raise FieldError(
            "This folder is there already; the demo is never laid over anything.",
            where=str(folder),
            todo="Name another folder, or open the demo that is in it.",
        )
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        unfinished = Path(tempfile.mkdtemp(prefix=f".{folder.name}-", dir=folder.parent))
    except OSError as error:
        raise _cannot(folder, error) from error
    try:
        _fill(unfinished, end.astimezone(UTC).replace(microsecond=0), seed)
        unfinished.chmod(0o755)
        unfinished.rename(folder)
    except OSError as error:
        raise _cannot(folder, error) from error
    finally:
        # gone after the rename; still there after anything that went wrong
        shutil.rmtree(unfinished, ignore_errors=True)
    return folder / ROUTE


def open_or_lay_demo(folder: Path, end: datetime) -> tuple[Path, str]:
    """The demo job of a folder, laid there if there is no folder yet, and a sentence that says so.

    `FieldError` where the folder holds something else.
    """
    if (folder / ROUTE).is_file() and (folder / SCENARIO).is_file():
        read_truth(folder / ROUTE)
        return folder / ROUTE, f"The invented demo job is in {folder}."
    path = lay_demo(folder, end)
    return path, f"An invented demo job was laid in {folder}; {folder / TODAY} says what there is to type."


def read_truth(route_path: Path) -> Truth:
    """The invented ground of a demo job that was laid. `FieldError` where the folder is not one."""
    path = route_path.parent / SCENARIO
    try:
        text = path.read_text(encoding="utf-8")
        route = route_path.read_text(encoding="utf-8")
    except OSError as error:
        raise FieldError(
            f"This is not a demo job: {error.strerror}.", where=str(error.filename), todo="Lay the demo anew."
        ) from error
    except UnicodeDecodeError as error:
        raise FieldError("This is not a demo job: no text.", where=str(path), todo="Lay the demo anew.") from error
    try:
        scenario, made = read_scenario(text)
    except (ValueError, LookupError, TypeError) as error:
        # it is a file in somebody's folder: it may have been edited
        raise FieldError("The demo's scenario cannot be read.", where=str(path), todo="Lay the demo anew.") from error
    if made is None:
        raise FieldError("The demo's seed and end are not stated.", where=str(path), todo="Lay the demo anew.")
    return Truth(_parsed(route), scenario, *made)


def _fill(folder: Path, end: datetime, seed: int) -> None:
    source = shipped("demo")
    text = (source / ROUTE).read_text(encoding="utf-8")
    story = (source / SCENARIO).read_text(encoding="utf-8") + _made(end, seed)
    (folder / ROUTE).write_text(text, encoding="utf-8", newline="\n")
    (folder / SCENARIO).write_text(story, encoding="utf-8", newline="\n")
    truth = read_truth(folder / ROUTE)
    surveys = planned_surveys(truth)
    (folder / TODAY).write_text(figures_to_type(truth, truth.route, surveys[-1]), encoding="utf-8", newline="\n")
    after: list[dict[str, Any]] = []
    routes: dict[tuple[str, ...], Route] = {}
    for planned in surveys:
        if planned.stations not in routes:
            routes[planned.stations] = _parsed(route_text_with(text, planned.stations))
        after = [_write(folder / LOGS, truth, routes[planned.stations], planned, after)]


def _write(folder: Path, truth: Truth, route: Route, planned: Planned, after: list[dict[str, Any]]) -> dict[str, Any]:
    """Write one survey's log and give its last record, which the next log names."""
    chance = Random(f"{truth.seed}/log/{planned.number}")
    log_id, survey = (f"{chance.getrandbits(128):032x}" for _ in range(2))
    lines = survey_lines(truth, route, planned)
    writer = LogWriter.create(
        folder,
        survey=survey,
        label=planned.label,
        scope=SURVEY,
        after=after,
        first=[("route", route_record(route))],
        clock=lambda: planned.start,
        identity=INVENTED,
        log_id=log_id,
    )
    with writer:
        writer.append_all([(line.kind, line.data) for line in lines], [line.at for line in lines])
        if not planned.interrupted:
            closing = _closing(route, writer, survey)
            writer.append_all([("closed", closing)], [lines[-1].at])
        return writer.tip


def _closing(route: Route, writer: LogWriter, survey: str) -> Mapping[str, Any]:
    # the demo's route does not take the frame off its lengths: there is no shift to give
    return closing_data(route, fold(writer.records, writer.id), survey, lambda *_: None)


def _parsed(text: str) -> Route:
    return parse_route(text, {}, name=ROUTE, path=Path(ROUTE))


def _made(end: datetime, seed: int) -> str:
    moment = end.isoformat().replace("+00:00", "Z")
    return f"\n[made]               # from this seed, for a story that ends at that moment\n{seed = }\nend = {moment}\n"


def _cannot(folder: Path, error: OSError) -> FieldError:
    return FieldError(
        f"The demo cannot be laid here: {error.strerror or error}.",
        where=str(folder),
        todo="Name a folder that can be made.",
    )
