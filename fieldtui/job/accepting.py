"""Accepting a reading: what was shown of it is booked with it, as evidence of what the surveyor knew."""

from __future__ import annotations

from typing import Any

from fieldtui.job.in_common import tell_in_common
from fieldtui.job.live import assess_chord, assess_frame, verdict_of
from fieldtui.job.second import heed_second
from fieldtui.job.telling import shown, tell_chord, tell_frame, verdict_data
from fieldtui.job.telling_proof import tell_proof, tell_zero
from fieldtui.job.told import Told
from fieldtui.job.walk import Walk
from fieldtui.reduction import Verdict
from fieldtui.survey import Target, whole
from fieldtui.survey.entry import instruments


def tell(walk: Walk, target: Target) -> tuple[Told, ...]:
    """What the booked figures of a chord, of the control frame or of a dial zero say."""
    if target.is_zero:
        return tuple(tell_zero(walk, target))
    if target.is_frame:
        return (*_no_length(walk, target), *tell_frame(walk.route, assess_frame(walk, target)))
    assessment = assess_chord(walk, target)
    _, chord = walk.place(target)
    if assessment is None:
        return _no_length(walk, target)
    shared = tell_in_common(walk, target) if walk.step.kind == "result" else ()
    told = tell_chord(walk.route, chord, assessment, verdict_of(walk, target), also=shared)
    told = heed_second(walk, target, assessment.length, told)
    return (*_no_length(walk, target), *told, *tell_proof(walk, target))


def _no_length(walk: Walk, target: Target) -> tuple[Told, ...]:
    """What is said of a complete booking that comes to no length: its tape, set right since, lacks the hole."""
    booking = walk.state.bookings.get(target)
    if booking is None or not booking.figures_in or "hole" not in booking.slots:
        return ()
    tape, _ = instruments(walk.route, walk.state, target)
    hole = booking.slots["hole"].typed
    if tape is None or tape.has_hole(whole(hole)):
        return ()
    return (Told("length", f"NONE: tape {tape.serial} has no hole {hole}. Correct the hole or the tape", "alarm"),)


def doubt(walk: Walk) -> Verdict | None:
    """The verdict over the complete booking at hand, if it is doubted: to be read again, or kept with a reason."""
    step = walk.step
    if step.kind != "result" or step.target is None or not step.target.is_chord:
        return None
    verdict = verdict_of(walk, step.target)
    return verdict if verdict is not None and verdict.doubted else None


def frame_failed(walk: Walk) -> bool:
    """Whether the complete reading at hand is of the control frame, and says that the instrument is not what it was."""
    step = walk.step
    if step.kind != "result" or step.target is None or not step.target.is_frame:
        return False
    proof = assess_frame(walk, step.target).proof
    return proof is not None and (bool(proof.doubts) or proof.drifts)


def answer_anew(walk: Walk, what: str, answer: str) -> None:
    """Answer a question of the start anew, from here on. `EntryRefused` where the answer cannot be booked.

    Where the control frame at hand fails, its reading is kept as booked: another tape or extensometer is taken
    instead, and proved next.
    """
    other = what in ("tape", "extensometer") and answer != walk.state.answer(what)
    if other and frame_failed(walk):
        accept(walk, outcome="kept", reason=f"{what} {answer} is taken instead")
    walk.say(what, answer)


def read_again(walk: Walk) -> None:
    """Keep the booking at hand beside a second reading of the same, and turn to that one.

    One that was accepted before stands as it was accepted, with its reason. `EntryRefused` where nothing is complete.
    """
    target = walk.step.target
    if walk.step.kind == "result" and target is not None and walk.state.bookings[target].finished:
        walk.go(target.again())
        return
    doubted = doubt(walk) is not None
    accept(walk, outcome="kept" if doubted else "read", reason="read again" if doubted else "", again=True)


def accept(walk: Walk, *, outcome: str = "read", reason: str = "", again: bool = False) -> None:
    """Accept the booking at hand: `read`, or `kept` for a reason where it does not agree.

    `EntryRefused` where nothing is complete.
    """
    target = walk.step.target
    told: dict[str, Any] = {}
    if target is not None and walk.step.kind == "result":
        told.update(shown(tell(walk, target)))
        verdict = verdict_of(walk, target) if target.is_chord else None
        if verdict is not None:
            told["verdict"] = verdict_data(verdict)
    walk.accept(outcome=outcome, reason=reason, shown=told, again=again)
