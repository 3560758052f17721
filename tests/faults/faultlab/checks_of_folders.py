"""Checks that guard the rules of many logs: going on in another file, witnesses, forks, gathering, the short code."""

from __future__ import annotations

from pathlib import Path

from faultlab.cuts import NoSync, a_log
from faultlab.job import WHO, Ticking
from fieldtui.log import LogWriter, heads, read_folder, read_log, short_code, shortcode
from fieldtui.log.gather import gather
from fieldtui.log.verify import verify, verify_log


def continuation(place: Path) -> None:
    """A new file names id, last saved seq and hash of the old one; entries of the old one past that are not folded."""
    path = a_log(place, 2)
    writer = LogWriter.reopen(path, clock=Ticking(), identity=WHO, calls=NoSync())
    tip = writer.tip
    new = writer.continue_in(place / "else")
    new.append("dial", {"dial": "9.75"})
    new.close()
    with path.open("ab") as file:  # what a failed write may have left
        file.write(_after(path))
    log = read_log(new.path)
    assert log.continues == tip
    assert (log.survey, log.label) == (read_log(path).survey, read_log(path).label)
    assert [record.kind for record in log.records] == ["log", "route", "dial"]
    new.path.rename(place / new.path.name)
    found = read_folder(place)
    assert [record.data.get("dial") for log in found.logs for record in log.records if record.kind == "dial"] == [
        "0.50",
        "1.50",
        "9.75",
    ]
    assert len(found.logs[0].beyond) == 1
    assert found.missing == ()


def _after(path: Path) -> bytes:
    from fieldtui.log.record import seal

    last = read_log(path).last
    assert last is not None
    return seal(last.seq + 1, "", "dial", {"dial": "lost"}, last.h)


def witnesses(place: Path) -> None:
    """Each log names the heads before it, so that a tail cut off or a log taken away is told; parallel crews are
    neither a fork nor missing.
    """
    first = a_log(place, 3, log_id="01" * 16)
    named = heads(place)
    for number in ("02", "03"):  # two crews after one head
        LogWriter.create(
            place, survey=number, label="", scope="", after=named, clock=Ticking(), calls=NoSync(), log_id=number * 16
        ).close()
    found = read_folder(place)
    assert (found.forks, found.missing) == ((), ())
    assert len(heads(place)) == 2
    whole = first.read_bytes()
    first.write_bytes(b"".join(whole.splitlines(keepends=True)[:-1]))
    assert {one.what for one in read_folder(place).missing} == {"The log is here and its end is lost."}
    assert len(verify([place]).missing) == 2
    first.unlink()
    assert {one.what for one in read_folder(place).missing} == {"The log is not here."}


def gathering(place: Path) -> None:
    """In any order the same; the longer of two; forks kept twice and folded by nobody; no source written; twice is
    once.
    """
    short, long, fork, called = place / "short", place / "long", place / "fork", place / "called"
    whole = a_log(long, 4)
    lines = whole.read_bytes().splitlines(keepends=True)
    for folder, number in ((short, 4), (fork, 3), (called, 6)):
        folder.mkdir()
        (folder / "renamed.jsonl").write_bytes(b"".join(lines[:number]))
    with LogWriter.reopen(fork / "renamed.jsonl", clock=Ticking(), identity=WHO, calls=NoSync()) as writer:
        writer.append("dial", {"dial": "another"})
    sources = {path: path.read_bytes() for path in place.rglob("*.jsonl")}
    made = []
    for number, several in enumerate(((short, long), (long, called, short), (called, long, long, short))):
        into = place / f"all{number}"
        for source in several:
            told = gather([source], into, calls=NoSync())
        assert not told.needs_attention
        made.append({path.name: path.read_bytes() for path in into.iterdir()})
    assert made == [{whole.name: whole.read_bytes()}] * 3
    into = place / "forked"
    told = gather([long, fork, short], into, calls=NoSync())
    assert [one.seq for one in told.forks] == [3]
    assert told.needs_attention
    kept = {path.name: path.read_bytes() for path in into.iterdir()}
    assert len(kept) == 2
    assert read_folder(into).logs == ()
    gather([fork, long], into, calls=NoSync())
    assert {path.name: path.read_bytes() for path in into.iterdir()} == kept
    assert {path: path.read_bytes() for path in sources} == sources


def codes(place: Path) -> None:
    """The head as a person writes it down: read back however it is written, and not where it was copied wrongly."""
    path = a_log(place, 3, closed=True)
    log = read_log(path)
    assert log.last is not None
    code, before = short_code(log.last.h), short_code(log.chain[-2][1])
    assert len(code.replace("-", "")) == 13
    spoken = code.lower().replace("-", " ").replace("0", "o").replace("1", "l")
    assert shortcode.code_fits(spoken, log.last.h)
    assert verify_log(path, code=code).code_answer == "fits"
    assert verify_log(path, code=before).code_answer == "fits an earlier record"
    plain = code.replace("-", "")
    for place_in, digit in enumerate(plain):
        wrong = plain[:place_in] + ("2" if digit != "2" else "3") + plain[place_in + 1 :]
        assert verify_log(path, code=wrong).code_answer == "was not copied well", f"{wrong} for {plain}"
    swapped = next(place_in for place_in in range(11) if plain[place_in] != plain[place_in + 1])
    turned = plain[:swapped] + plain[swapped + 1] + plain[swapped] + plain[swapped + 2 :]
    assert verify_log(path, code=turned).code_answer == "was not copied well"
    for h in (log.last.h[:14] + ("0" if log.last.h[14] != "0" else "1") + log.last.h[15:], log.chain[0][1]):
        assert not shortcode.code_fits(code, h)
