"""What `verify` and `gather` say. Exit status: 0 as it should be, 1 something needs attention, 2 could not be done."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from fieldtui.counted import counted
from fieldtui.custody.figures import Compared, Figures, compare_figures
from fieldtui.errors import FieldError
from fieldtui.log.folder import SUFFIX, Missing, file_paths
from fieldtui.log.gather import gather, logs_below
from fieldtui.log.verify import Verdict, Verification, verify
from fieldtui.printable import printable
from fieldtui.progress import OnErrorStream
from fieldtui.survey.words import place

Write = Callable[[str], None]
DONE, ATTENTION = 0, 1


def tell_verify(places: Sequence[Path], write: Write, *, code: str | None, figures: bool, as_json: bool) -> int:
    """Verify files and folders. `FieldError` where one is not there."""
    if code is not None and not code.strip():
        raise FieldError("The code is empty.", where="--code", todo="Give it as it stands in the field book.")
    for one in places:
        if not one.exists():
            raise FieldError("There is no such file or folder.", where=str(one), todo="Give a log or a folder of logs.")
    if not any(file_paths(one) if one.is_dir() else [one] for one in places):
        raise FieldError("There is no log in it.", where=str(places[0]), todo="Give a log or a folder of logs.")
    with OnErrorStream() as progress:
        found = verify(places, code=code, progress=partial(progress, "verified"))
    paths = [path for one in places for path in (file_paths(one) if one.is_dir() else [one])]
    compared = compare_figures(paths) if figures else Figures()
    if as_json:
        answer: dict[str, Any] = found.as_data()
        if figures:
            answer["figures"] = compared.as_data()
            answer["needs_attention"] = found.needs_attention or compared.wrong
        write(json.dumps(answer, indent=2, ensure_ascii=False))
    else:
        for line in _lines(found, compared if figures else None):
            write(line)
    return ATTENTION if found.needs_attention or compared.wrong else DONE


def tell_gather(sources: Sequence[Path], into: Path, write: Write, *, as_json: bool) -> int:
    """Bring logs together. `FieldError` where a source is not there or the target takes no file."""
    for source in sources:
        if not source.exists():
            raise FieldError("There is no such folder.", where=str(source), todo="Name folders that hold logs.")
        if source.is_file() and _is_no_log(source):
            raise FieldError("This file is no log.", where=str(source), todo="Name folders that hold logs, or logs.")
    if not any(path for source in sources for path in logs_below(source)):
        raise FieldError("There is no log in it.", where=str(sources[0]), todo="Name folders that hold logs.")
    try:
        with OnErrorStream() as progress:
            done = gather(sources, into, progress=partial(progress, "read"))
    except OSError as error:
        raise FieldError(
            f"The folder takes no file: {error.strerror}.", where=str(into), todo="Choose another."
        ) from error
    if as_json:
        write(json.dumps(done.as_data(), indent=2, ensure_ascii=False))
        return ATTENTION if done.needs_attention else DONE
    write(f"{into}: {len(done.new)} new, {len(done.longer)} longer than before, {done.same} already there.")
    told = [f"never begun, left out: {name}" for name in done.never_begun]
    told += [f"open in another program, left as it is: {name}" for name in done.open_here]
    told += [f"damaged, taken as it is: {name}" for name in done.damaged]
    told += [str(refused) for refused in done.unread]
    told += [
        f"forked at record {fork.seq}, all kept, none counts: {', '.join(log.path.name for log in fork.logs)}"
        for fork in done.forks
    ]
    told += [_missing(one) for one in done.missing]
    told += [str(one) for one in done.beyond]
    for line in told:
        write(f"! {line}")
    return ATTENTION if done.needs_attention else DONE


def _is_no_log(file: Path) -> bool:
    """By name and beginning; one that cannot be read is told when its turn comes."""
    try:
        with file.open("rb") as content:
            return file.suffix != SUFFIX and content.read(8) != b'{"seq":0'
    except OSError:
        return False


def _lines(found: Verification, compared: Figures | None) -> list[str]:
    lines = [line for verdict in found.verdicts for line in _verdict(verdict)]
    lines += [f"! {refused}" for refused in found.unread]
    lines += [
        f"! forked: these files differ at record {fork.seq}: {', '.join(path.name for path in fork.paths)}"
        for fork in found.forks
    ]
    lines += [f"! {_missing(one)}" for one in found.missing]
    lines += [f"! {one}" for one in found.beyond]
    if found.code_answer is not None:
        mark = "" if found.code_answer == "fits" else "! "
        lines.append(f"{mark}the code {found.code} {found.code_answer}")
    if compared is not None:
        lines += _figures(compared)
    return lines


def _missing(one: Missing) -> str:
    return f"missing: record {one.seq} of log {one.log[:8]}, named by log {one.named_by[:8]}. {one.what}"


def _verdict(verdict: Verdict) -> list[str]:
    mark = "! " if verdict.needs_attention else ""
    if not verdict.records:
        return [f"{mark}{verdict.path.name}: no record of a log in it"]
    records = counted(verdict.records, "record")
    told = [
        verdict.state,
        records,
        *filter(None, [printable(str(verdict.head.get("label", "")))]),
        f"code {verdict.code}",
    ]
    lines = [f"{mark}{verdict.path.name}: {', '.join(told)}"]
    lines += [
        f"    record {one.record}, bytes {one.first_byte} to {one.last_byte}: {one.what}"
        for one in (*verdict.problems, *verdict.marks)
    ]
    return lines


def _figures(found: Figures) -> list[str]:
    compared = found.compared
    lines = [f"! {told}" for told in found.not_checkable]
    lines += [_differs(one) for one in compared if one.outcome != "the same"]
    same = sum(1 for one in compared if one.outcome == "the same")
    return [*lines, f"{same} of {len(compared)} closed lengths come out the same from their raw figures"]


def _differs(one: Compared) -> str:
    mark = "! " if one.outcome == "another figure" else ""
    was = f"was closed with {one.booked or 'no length'}" if one.held else "is not in the closing record"
    return f"{mark}{one.log.name}: {place(one.target)} {was}, the raw figures give {one.now or 'none'} ({one.outcome})"
