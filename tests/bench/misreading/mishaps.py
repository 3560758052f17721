"""Bookings gone wrong, and what the crew's other readings of that survey then look like."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from decimal import Decimal

from msgspec.structs import replace

from fieldtui.reduction import ChordGround, Figures, Ground, Length, Past, Segment
from fieldtui.reduction.evidence import Other
from fieldtui.reduction.known import Known
from fieldtui.reduction.priors import ALONE, ONE_WALL, WHOLE
from fieldtui.route.model import Chord, ChordKey

from . import slips
from .case import Case, Moment
from .instrument import Instrument


def gone_wrong(label: str, now: Moment) -> Case | None:
    """The booking with what the label says; None where it cannot go wrong so, or is refused when it is typed."""
    if label in _FIGURES:
        wrong = _FIGURES[label](now.figures, now.world.rng)
        return _booked(now, label, wrong) if wrong is not None else None
    return _WAYS[label](now, label)


def _booked(
    now: Moment,
    label: str,
    figures: Figures,
    moved: Mapping[ChordKey, float] | None = None,
    off: float | None = None,
    second: Length | None = None,
) -> Case:
    """The case with other figures, other chords of the survey moved by so much, and what that leaves."""
    length, clean = now.world.reduced(figures), now.clean
    evidence = clean.evidence
    if moved:
        evidence = replace(evidence, others=tuple(_moved(other, moved) for other in evidence.others))
    left = float(length.value - clean.length.value) if off is None else off
    return replace(
        clean, label=label, length=length, evidence=evidence, off_by=left, second=second, asked=length.repeats.wanted
    )


def _moved(other: Other, by: Mapping[ChordKey, float]) -> Other:
    """Another reading with what ails the survey put on."""
    shift = by.get(other.key, 0.0)
    if not shift:
        return other
    value = other.length.value + Decimal(str(round(shift, 4)))
    off = other.off + shift
    return replace(other, length=replace(other.length, value=value), off=off, agrees=abs(off) < 3.5 * other.spread)


def _movement(now: Moment, label: str) -> Case:
    """The ground moves, each chord its own share."""
    rng = now.world.rng
    by = slips.small(rng) if label == "small movement" else slips.sudden(rng)
    if label == "movement of 5 to 8":
        by = float(rng.uniform(5.0, 8.0) * now.clean.true_spread * (1 if by > 0 else -1))
    read = now.world.instrument.read(now.true + by, now.warm, now.figures.hole, rng)
    return _booked(now, label, read, _moving_along(now, by), off=by, second=_again(now, by))


def _moving_along(now: Moment, by: float) -> dict[ChordKey, float]:
    """How far the station's other chords move as well: all of them, as documented; or one wall's; or none."""
    rng, chord = now.world.rng, now.line.chord
    way = rng.choice(3, p=[WHOLE, ONE_WALL, ALONE])
    if way == 0:
        return {o.key: by * rng.uniform(0.3, 1.0) for o, _, _ in now.others if o.key[0] == "B"}
    wall = str(rng.choice([chord.hook, chord.far]))
    return with_anchor(now, wall, by, by * rng.normal()) if way == 1 else {}


def with_anchor(now: Moment, name: str, along: float, across: float) -> dict[ChordKey, float]:
    """How far an anchor's other chords move, where it moves along this chord and at right angles to it."""
    place = {anchor.name: complex(anchor.across, anchor.up) for anchor in now.clean.station.anchors}
    moved, here = {}, _other_end(name, now.line.chord)
    for other, _, _ in now.others:
        if other.key[0] == "B" and name in other.key[1].split("-"):
            turned = (place[_other_end(name, other.chord)] - place[name]) / (place[here] - place[name])
            moved[other.key] = (along * turned.real + across * turned.imag) / abs(turned)
    return moved


def _other_end(name: str, chord: Chord) -> str:
    """The other end of an anchor's chord."""
    return chord.far if name == chord.hook else chord.hook


def _again(now: Moment, by: float = 0.0) -> Length:
    """The chord read once more, with errors of its own."""
    figures = now.world.instrument.read(now.true + by, now.warm, now.figures.hole, now.world.rng)
    return now.world.reduced(figures)


def _anchor(now: Moment, label: str) -> Case:
    """One anchor struck, any way: its own chords move, each as it lies, the others do not."""
    rng, chord = now.world.rng, now.line.chord
    by, name = float(rng.normal(0, 5.0)), str(rng.choice([chord.hook, chord.far]))
    read = now.world.instrument.read(now.true + by, now.warm, now.figures.hole, rng)
    return _booked(now, label, read, with_anchor(now, name, by, float(rng.normal(0, 5.0))), off=by)


def _seating(now: Moment, label: str) -> Case:
    by = slips.seating(now.world.rng)
    read = now.world.instrument.read(now.true + by, now.warm, now.figures.hole, now.world.rng, scatter=4.0)
    return _booked(now, label, read, off=by)


def _zero(now: Moment, label: str) -> Case:
    """The dial was off from some chord on."""
    rng = now.world.rng
    by, since = float(rng.normal(0, 1.5)), int(rng.integers(0, 9))
    dials = tuple(d + Decimal(str(round(by, 2))) for d in now.figures.dials)
    mine = {o.key: by for o, _, _ in now.others[len(now.others) - min(since, len(now.others)) :]}
    return _booked(now, label, replace(now.figures, dials=dials), mine, off=by)


def _other_tape(now: Moment, label: str) -> Case:
    """The whole survey was read with the other tape, and booked as with the named one."""
    rng = now.world.rng
    used = Instrument.made(now.world.spare, rng)
    moved = {}
    for line, _, length in now.others:
        booked = now.world.reduced(used.read(length, now.warm, None, rng))
        moved[line.key] = float(booked.value) - length
    figures = used.read(now.true, now.warm, None, rng)
    return _booked(now, label, figures, moved, off=float(now.world.reduced(figures).value) - now.true)


def _elsewhere(now: Moment, label: str) -> Case:
    """Another chord of the station was read; or the neighbouring station, all its chords."""
    rng, lines = now.world.rng, now.world.lines
    if label == "other chord":
        there = [o for o in lines if o.key[0] == "B" and o is not now.line and o.pasts]
        station = "B"
    else:
        station = str(rng.choice(["A", "C"]))
        there = [o for o in lines if o.key[0] == station and o.row == now.line.row]
    other = there[int(rng.integers(len(there)))]
    figures = now.world.instrument.read(other.truth(now.survey), now.warm, other.hole, rng)
    moved = {}
    if label == "other station":
        beside = {o.row: o for o in lines if o.key[0] == station}
        for o in lines:
            if o.key[0] == "B":
                moved[o.key] = beside[o.row].truth(now.survey) - o.truth(now.survey)
    return _booked(now, label, figures, moved)


def _date(now: Moment, label: str) -> Case | None:
    """The last survey's figures copied, or the time of reading wrong."""
    rng, last = now.world.rng, now.line.pasts[-1]
    if rng.random() < 0.5:
        return _booked(now, label, last.length.figures)
    by = timedelta(days=float(rng.choice([0.5, 1.0, 7.0, 30.0, -0.5, -1.0, -7.0, -30.0])))
    at = now.clean.at + by
    return replace(now.clean, label=label, at=at, off_by=0.0) if at > last.time else None


def _earlier(now: Moment, label: str) -> Case | None:
    """The last reading, or the only one, had its hole or its dial wrong, and nobody saw it; today's is right."""
    line, known, rng = now.line, now.clean.known, now.world.rng
    if (len(line.pasts) == 1) != (label == "only reading"):
        return None
    past = line.pasts[-1]
    slip = slips.hole_by_one if rng.random() < 0.6 else slips.dial
    wrong = slip(past.length.figures, rng)
    if wrong is None:
        return None
    spoilt = Past(past.time, now.world.reduced(wrong), past.survey)
    pasts = (*line.pasts[:-1], spoilt)
    chords = {**known.ground.chords, line.key: ChordGround((Segment("T1", "E1", pasts[:1], pasts),))}
    spoilt_known = Known(known.route, Ground(chords=chords, events=known.ground.events))
    for other in now.world.lines:
        if other.followed is not None and other is not line:
            spoilt_known.remember(other.key, other.followed, other.before)
    if line.before is not None:
        spoilt_known.remember(line.key, line.before.on(spoilt, known.events(line.key[0])), line.before)
    left = float(spoilt.length.value - past.length.value)
    second = _again(now)
    return replace(now.clean, label=label, known=spoilt_known, off_by=left, last=spoilt.length, second=second)


_FIGURES = {
    "hole by one": slips.hole_by_one,
    "hole otherwise": slips.hole_otherwise,
    "dial": slips.dial,
    "one repeat": slips.one_repeat,
    "temperature": slips.temperature,
}

_WAYS = {
    "real movement": _movement,
    "small movement": _movement,
    "movement of 5 to 8": _movement,
    "anchor": _anchor,
    "seating": _seating,
    "zero": _zero,
    "tape": _other_tape,
    "other chord": _elsewhere,
    "other station": _elsewhere,
    "date": _date,
    "earlier reading": _earlier,
    "only reading": _earlier,
}
