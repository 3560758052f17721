"""Entries of a walk struck out, with a reason and a name: what can be struck, and what may stand instead."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from msgspec import Struct

from fieldtui.route import Route
from fieldtui.survey import Entry, EntryRefused, State, Step, Target, check_answer, check_figure, clean_text, number

if TYPE_CHECKING:
    from fieldtui.job.walk import Walk


class Strikable(Struct, frozen=True):
    """One entry that stands and can be struck out. `what` is its slot (of an earlier length, `length`), its question,
    `note`, `call` or the outcome's `accepted` or `unread`; `target` is what a figure or outcome is of.
    """

    entry: Entry
    what: str
    target: Target | None = None
    told: str = ""
    """Of a telling: who was told of what."""

    @property
    def words(self) -> str:
        """What was typed, or of a telling who was told of what."""
        return self.entry.typed or self.told or self.what

    @property
    def replaceable(self) -> bool:
        """Whether a right one can be given with the strike."""
        return self.what not in ("accepted", "unread", "call")


def strikable(state: State) -> tuple[Strikable, ...]:
    """Every entry that stands, the newest last."""
    return tuple(sorted(_standing(state), key=lambda one: one.entry.order))


def strike_data(
    route: Route, state: State, place: tuple[str, int], reason: str, by: str, typed: str | None
) -> dict[str, Any]:
    """The data of a `struck` record. `EntryRefused` where the entry does not stand, or the right one is none."""
    found = next((one for one in _standing(state) if one.entry.place == place), None)
    if found is None:
        raise EntryRefused("This entry does not stand; it has been struck already.", todo="Choose another one.")
    cleaned, name = clean_text(reason), clean_text(by)
    if not cleaned or not name:
        raise EntryRefused("Striking out needs a reason and a name.", todo="Say in a few words why, and who says so.")
    data: dict[str, Any] = {"log": place[0], "seq": place[1], "reason": cleaned, "by": name}
    if typed is None:
        return data
    if not found.replaceable:
        raise EntryRefused("Nothing can stand in the place of this entry.", todo="Strike it out, and book it anew.")
    return {**data, "typed": _checked(route, state, found, typed)}


def named_wrong(walk: Walk, what: str, right: str) -> None:
    """Set right a tape or extensometer that was named wrong: every booking begun under it goes with it.

    `EntryRefused` where it is none of the route's, or the one that is named already.
    """
    entry = walk.state.said[what]
    if check_answer(walk.route, Step("say", what), right) == entry.typed:
        raise EntryRefused(f"{entry.typed} is what is named already.", todo="Choose another one, or go back.")
    who = walk.state.answer("recorder") or walk.state.answer("reader") or ""
    walk.strike(entry.place, "named wrong", who, right)


def _checked(route: Route, state: State, one: Strikable, typed: str) -> str:
    if one.what == "length":
        if number(typed) <= 0:
            raise EntryRefused(f"{typed.strip()} is no length.", todo=f"Type it in {route.units.small}.")
        return typed.strip()
    if one.target is not None:
        check_figure(route, state, one.target, one.what, typed)
        return typed.strip()
    if one.what == "note":
        return clean_text(typed)
    return check_answer(route, Step("say", one.what, optional=one.what in ("recorder", "stage")), typed)


def _standing(state: State) -> Iterator[Strikable]:
    for target, booking in state.bookings.items():
        for slot, entry in booking.slots.items():
            # an earlier length's uncertainty stands in the record of the length, and goes with it
            if slot != "uncertainty":
                yield Strikable(entry, slot, target)
        if booking.ended is not None and booking.ended not in booking.slots.values():
            yield Strikable(booking.ended, "accepted" if booking.was_read else "unread", target)
    for what, entry in state.said.items():
        yield Strikable(entry, what)
    for what, before in state.said_before.items():
        for entry in before:
            yield Strikable(entry, what)
    for note in state.notes:
        yield Strikable(note.entry, "note")
    for call in state.calls:
        of = f"{call.station} {call.chord}, {call.level} ({call.what})"
        yield Strikable(call.entry, "call", told=f"{call.person}, as {call.role}, was told of {of}")
