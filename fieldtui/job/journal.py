"""Journals read: logs of scope "journal" folded into what they declare.

| kind | data (`by` is in all of them) |
|---|---|
| `struck` | log, seq, reason; typed: what stands instead; settles: [{log, seq}] of amendments it takes the place of |
| `baseline` | name, since, movement (`carried` or `restarted`), reason; stations: [names], none for all |
| `anchor` | station, anchor, event (`struck`, `lost`, `replaced`), at; note |
| `chord` | station, chord, event (`added`, `retired`), at; note |
| `renamed` | old, new, at: a station's name; readings before `at` under the old name are the new one's |
| `correction` | table, name, key, value, reason; part, since, until: the effective range |
| `certificate` | table, name, values {key: value}, reference, reason; since, until |
| `new_thing` | table, name, since; part, note |
| `call` | see `survey.CallTold` |
| `construction` | event, at; station, note |
| `care` | what, at; note |
| `fork` | log, h, reason: which of the files that share an id counts |
| `note` | text |

A `struck` that names a record of a journal takes that declaration back; what is right is declared anew. Times are
RFC 3339 with an offset. A record that cannot be understood is told and has no effect; a kind that this
version does not know is counted.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

from msgspec import Struct, field

from fieldtui.job import declared as is_
from fieldtui.job.shapes import SHAPES, wrong_with
from fieldtui.log import LogFile, Record
from fieldtui.survey import CallTold, Entry, Place, read_time

JOURNAL = "journal"
OF_THE_FILE = frozenset({"log", "route", "closed"})


class Journals(Struct):
    """Everything that the journals of a job declare, each kind in order of booking. Filled by `read_journals` alone."""

    amendments: list[is_.Amendment] = field(default_factory=list)
    epochs: list[is_.Epoch] = field(default_factory=list)
    anchors: list[is_.AnchorEvent] = field(default_factory=list)
    chords: list[is_.ChordEvent] = field(default_factory=list)
    renamed: list[is_.Renamed] = field(default_factory=list)
    corrections: list[is_.Correction] = field(default_factory=list)
    new_things: list[is_.NewThing] = field(default_factory=list)
    calls: list[CallTold] = field(default_factory=list)
    happenings: list[is_.Happening] = field(default_factory=list)
    care: list[is_.Care] = field(default_factory=list)
    kept: list[is_.Kept] = field(default_factory=list)
    notes: list[tuple[is_.Written, str]] = field(default_factory=list)
    taken_back: list[is_.Amendment] = field(default_factory=list)
    """Strikes of declarations: each names, with a reason, the record of a journal that no longer counts."""
    problems: list[str] = field(default_factory=list)
    unknown: int = 0


def is_journal(log: LogFile) -> bool:
    return log.head.get("scope") == JOURNAL


def read_journals(logs: Iterable[LogFile]) -> Journals:
    """What the journals among these logs declare, whatever the order they are given in."""
    journals = [log for log in logs if is_journal(log)]
    records = [(record.at, log.id, record.seq, record, log) for log in journals for record in log.records]
    records.sort(key=lambda one: one[:3])
    ids = {log.id for log in journals}
    struck = _taken_back([(record, log) for _, _, _, record, log in records], ids)
    found = Journals(taken_back=list(struck.values()))
    for _, _, _, record, log in records:
        if record.kind in OF_THE_FILE or (log.id, record.seq) in struck:
            continue
        if record.kind not in SHAPES:
            found.unknown += 1
        elif wrong := wrong_with(record.kind, record.data):
            found.problems.append(f"{log.path.name}, record {record.seq}: {'; '.join(wrong)}")
        elif _of_a_journal(record, ids):  # it has had its effect already
            if "typed" in record.data:
                found.problems.append(f"{log.path.name}, record {record.seq}: {_NOT_ANEW}")
        else:
            _KINDS[record.kind](found, record, _written(record, log))
    found.epochs.sort(key=lambda epoch: (epoch.since, epoch.written.order))
    return found


_NOT_ANEW = "it takes a declaration back, and what it says instead is not used; declare that anew"


def _taken_back(records: Sequence[tuple[Record, LogFile]], journals: Collection[str]) -> dict[Place, is_.Amendment]:
    """Records of journals that a later one strikes out: place -> strike. A strike that is struck itself strikes not."""
    struck: dict[Place, is_.Amendment] = {}
    for record, log in reversed(records):
        if not _of_a_journal(record, journals) or wrong_with("struck", record.data):
            continue
        if (log.id, record.seq) not in struck:
            strike = _amendment(record, _written(record, log))
            struck.setdefault(strike.place, strike)
    return struck


def _of_a_journal(record: Record, journals: Collection[str]) -> bool:
    """Whether it strikes out a record of a journal, and no entry of a survey."""
    log = record.data.get("log")
    return record.kind == "struck" and isinstance(log, str) and log in journals


def _written(record: Record, log: LogFile) -> is_.Written:
    return is_.Written(log.id, record.seq, read_time(record.at), str(record.data["by"]))


def _time(data: Mapping[str, Any], name: str) -> datetime | None:
    return read_time(data[name]) if data.get(name) else None


def _thing(data: Mapping[str, Any]) -> is_.Thing:
    return (data["table"], data["name"], data.get("part", ""))


def _struck(found: Journals, record: Record, written: is_.Written) -> None:
    found.amendments.append(_amendment(record, written))


def _amendment(record: Record, written: is_.Written) -> is_.Amendment:
    data = record.data
    settles = frozenset((one["log"], one["seq"]) for one in data.get("settles", ()))
    return is_.Amendment(written, (data["log"], data["seq"]), data.get("typed"), data["reason"], settles, record)


def _baseline(found: Journals, record: Record, written: is_.Written) -> None:
    data = record.data
    stations = frozenset(data.get("stations", ()))
    restarts = data["movement"] == "restarted"
    since = read_time(data["since"])
    found.epochs.append(is_.Epoch(written, data["name"], since, restarts, stations, data["reason"]))


def _anchor(found: Journals, record: Record, written: is_.Written) -> None:
    data, at = record.data, read_time(record.data["at"])
    event = is_.AnchorEvent(written, data["station"], data["anchor"], data["event"], at, data.get("note", ""))
    found.anchors.append(event)
    if event.event == "replaced":
        found.new_things.append(is_.NewThing(written, ("anchor", event.station, event.anchor), at, event.note))


def _chord(found: Journals, record: Record, written: is_.Written) -> None:
    data, at = record.data, read_time(record.data["at"])
    found.chords.append(
        is_.ChordEvent(written, data["station"], data["chord"], data["event"], at, data.get("note", ""))
    )


def _renamed(found: Journals, record: Record, written: is_.Written) -> None:
    data = record.data
    found.renamed.append(is_.Renamed(written, data["old"], data["new"], read_time(data["at"])))


def _correction(found: Journals, record: Record, written: is_.Written) -> None:
    data = record.data
    span = (_time(data, "since"), _time(data, "until"))
    found.corrections.append(is_.Correction(written, _thing(data), data["key"], data["value"], *span, data["reason"]))


def _certificate(found: Journals, record: Record, written: is_.Written) -> None:
    data = record.data
    span = (_time(data, "since"), _time(data, "until"))
    for key, value in data["values"].items():
        one = is_.Correction(written, _thing(data), key, value, *span, data["reason"], data["reference"])
        found.corrections.append(one)


def _new_thing(found: Journals, record: Record, written: is_.Written) -> None:
    data = record.data
    found.new_things.append(is_.NewThing(written, _thing(data), read_time(data["since"]), data.get("note", "")))


def _call(found: Journals, record: Record, written: is_.Written) -> None:
    entry = Entry(record.data.get("answer", ""), "", written.log, written.seq, written.at)
    found.calls.append(CallTold.of(record.data, entry))


def _construction(found: Journals, record: Record, written: is_.Written) -> None:
    data, at = record.data, read_time(record.data["at"])
    found.happenings.append(is_.Happening(written, data["event"], at, data.get("station", ""), data.get("note", "")))


def _care(found: Journals, record: Record, written: is_.Written) -> None:
    data = record.data
    found.care.append(is_.Care(written, data["what"], read_time(data["at"]), data.get("note", "")))


def _fork(found: Journals, record: Record, written: is_.Written) -> None:
    data = record.data
    found.kept.append(is_.Kept(written, data["log"], data["h"], data["reason"]))


def _note(found: Journals, record: Record, written: is_.Written) -> None:
    found.notes.append((written, record.data["text"]))


_KINDS: dict[str, Callable[[Journals, Record, is_.Written], None]] = {
    "struck": _struck,
    "baseline": _baseline,
    "anchor": _anchor,
    "chord": _chord,
    "renamed": _renamed,
    "correction": _correction,
    "certificate": _certificate,
    "new_thing": _new_thing,
    "call": _call,
    "construction": _construction,
    "care": _care,
    "fork": _fork,
    "note": _note,
}
