"""What an answer may be: a text as typed to the text that is kept. `EntryRefused` where it cannot be."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from datetime import date
from decimal import Decimal

from fieldtui.route.rules import zone_exists
from fieldtui.survey import EntryRefused, clean_text
from fieldtui.survey.typed import number

Check = Callable[[str], str]
_CLOCK = re.compile(r"([01]?[0-9]|2[0-3])[:.,]?([0-5][0-9])")
_STATION = re.compile(r"([0-9]+)\+([0-9]{2,3})([.,][0-9]+)?")
_LONGEST_NAME = 60
MOST_STATIONS = 500


def figure(typed: str) -> str:
    """A number; a comma is a point."""
    return str(number(typed))


def chainage(large: str) -> Check:
    """A distance along the tunnel, in m or ft: a number, or a station as it is written, hundreds or thousands first.

    Two figures after the plus make it full stations of 100 (1+00 is 100 m, or 100 ft), three make it km (1+000 is
    1000 m); *common practice*, from memory. In feet only the former is in use.
    """
    per_station = {2: 100, 3: 1000} if large == "m" else {2: 100}

    def checked(typed: str) -> str:
        written = _STATION.fullmatch(typed.strip())
        if written is None and "+" not in typed.strip()[1:]:
            return figure(typed)
        if written is None or len(written[2]) not in per_station:
            stations = "1+00 or 1+000" if large == "m" else "1+00"
            todo = f"Type it in {large}, such as 1234.5, or as a station, such as {stations}."
            raise EntryRefused(f"“{typed.strip()}” is no chainage.", todo=todo)
        beyond = Decimal((written[2] + (written[3] or "")).replace(",", "."))
        return str(int(written[1]) * per_station[len(written[2])] + beyond)

    return checked


def positive(typed: str) -> str:
    """A number above nil."""
    return _refused_if(number(typed) <= 0, figure(typed), "more than 0")


def not_negative(typed: str) -> str:
    """A number, nil or above."""
    return _refused_if(number(typed) < 0, figure(typed), "0 or more")


def share(typed: str) -> str:
    """A share: above 0, at most 1."""
    return _refused_if(not 0 < number(typed) <= 1, figure(typed), "between 0 and 1")


def count(typed: str) -> str:
    """A whole number, 1 or more."""
    return _whole(typed, 1)


def from_nought(typed: str) -> str:
    """A whole number, 0 or more."""
    return _whole(typed, 0)


def _whole(typed: str, least: int) -> str:
    value = number(typed)
    if value != value.to_integral_value() or not least <= value <= 100_000:
        raise EntryRefused(f"{typed.strip()} will not do.", todo=f"Type a whole number, {least} or more.")
    return str(int(value))


def _refused_if(refused: bool, text: str, wanted: str) -> str:
    if refused:
        raise EntryRefused(f"{text} will not do: it must be {wanted}.", todo="Look at the sign and the figure.")
    return text


def name(typed: str) -> str:
    """A name or serial."""
    text = clean_text(typed)
    if len(text) > _LONGEST_NAME:
        raise EntryRefused(f"A name has {_LONGEST_NAME} letters at most.", todo="Shorten it.")
    return text


def other_than(taken: Collection[str], check: Check = name) -> Check:
    """A name that none of these bears."""

    def checked(typed: str) -> str:
        text = check(typed)
        if text in taken:
            raise EntryRefused(f"“{text}” is there already.", todo="Give each its own name.")
        return text

    return checked


def anchor_name(typed: str) -> str:
    """A name without a dash, which stands between the two anchors of a chord."""
    text = name(typed)
    if "-" in text:
        raise EntryRefused(f"“{text}” has a dash in it.", todo="Leave it out; it stands between the ends of a chord.")
    return text


def chord_between(anchors: Collection[str], chords: Collection[str]) -> Check:
    """`FROM-TO`, between two of these anchors, and not one of these chords."""

    def checked(typed: str) -> str:
        ends = [one.strip() for one in clean_text(typed).split("-")]
        if len(ends) != 2 or ends[0] == ends[1]:
            raise EntryRefused("A chord has two ends.", todo="Type them with a dash, the hook's end first, like A-B.")
        missing = [one for one in ends if one not in anchors]
        if missing:
            raise EntryRefused(f"There is no anchor “{missing[0]}”.", todo=f"Name two of {', '.join(anchors)}.")
        if {"-".join(ends), "-".join(reversed(ends))} & set(chords):
            raise EntryRefused(f"{'-'.join(ends)} is there already.", todo="A chord may be read from either end.")
        return "-".join(ends)

    return checked


def above(lowest: str, words: str) -> Check:
    """A number above another one, which is told by its words."""

    def checked(typed: str) -> str:
        return _refused_if(number(typed) <= Decimal(lowest), figure(typed), f"more than {words} ({lowest})")

    return checked


def at_least(lowest: Decimal, words: str, check: Check = positive) -> Check:
    """A number that is no smaller than another one, which is told by its words."""

    def checked(typed: str) -> str:
        return _refused_if(number(typed) < lowest, check(typed), f"{lowest} or more, {words}")

    return checked


def between(lowest: Decimal, highest: Decimal, words: str = "") -> Check:
    """A number within two others."""

    def checked(typed: str) -> str:
        wanted = f"between {lowest} and {highest}{f', {words}' if words else ''}"
        return _refused_if(not lowest <= number(typed) <= highest, figure(typed), wanted)

    return checked


def zone(typed: str) -> str:
    """An IANA time zone."""
    text = clean_text(typed)
    if not zone_exists(text):
        raise EntryRefused(f"“{text}” is no time zone.", todo='Type an IANA name, such as "Etc/UTC".')
    return text


def clock(typed: str) -> str:
    """A time of day."""
    found = _CLOCK.fullmatch(typed.strip())
    if found is None:
        raise EntryRefused(f"“{typed.strip()}” is no time of day.", todo="Type hours and minutes, such as 06:00.")
    return f"{int(found[1]):02}:{found[2]}"


def day(typed: str) -> str:
    """A date, written 2031-01-31."""
    try:
        return date.fromisoformat(typed.strip()).isoformat()
    except ValueError as error:
        raise EntryRefused(f"“{typed.strip()}” is no date.", todo="Type it as 2031-01-31.") from error


def people(typed: str) -> str:
    """Roles, with commas between them; each once."""
    named = [clean_text(one) for one in typed.split(",") if clean_text(one)]
    if not named or len(set(named)) < len(named):
        raise EntryRefused("Name each role once.", todo="Type them with commas: shift engineer, site manager.")
    return ", ".join(named)


def stations_of(taken: Collection[str], first: str) -> Check:
    """How many stations; none of their names taken."""

    def checked(typed: str) -> str:
        many = int(count(typed))
        if many > MOST_STATIONS:
            raise EntryRefused(f"{many} stations at once are too many.", todo=f"Lay up to {MOST_STATIONS}, then more.")
        clash = next((one for one in station_names(first, many) if one in taken), None)
        if clash is not None:
            raise EntryRefused(f"Station “{clash}” is there already.", todo="Go back and begin with another name.")
        return str(many)

    return checked


def station_names(first: str, many: int) -> list[str]:
    """The first name and those counted on from it: S08, S09, S10; a name without a number is counted from 2."""
    if many == 1:
        return [first]
    found = re.fullmatch(r"(.*?)([0-9]+)", first)
    if found is None:
        return [first, *(f"{first}{place}" for place in range(2, many + 1))]
    stem, digits = found[1], found[2]
    return [f"{stem}{int(digits) + place:0{len(digits)}}" for place in range(many)]
