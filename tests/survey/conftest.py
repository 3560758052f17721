"""An invented route of three chords, and surveys written on pages without a file."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from fieldtui.route import Route, parse_route
from fieldtui.survey import Target
from harness.jobs import CONTROL, TWO_CHORDS
from harness.pages import Pages

SECOND_TAPE = TWO_CHORDS[TWO_CHORDS.index("[[tape]]") : TWO_CHORDS.index("[[extensometer]]")].replace("T1", "T2")


@pytest.fixture
def pages() -> Pages:
    return Pages()


@pytest.fixture(scope="session")
def route() -> Route:
    """Two stations, three chords, two tapes, no control frame."""
    return parse_route(TWO_CHORDS.replace("{more}", "") + SECOND_TAPE, {}, name="r.toml")


@pytest.fixture(scope="session")
def controlled() -> Route:
    return parse_route(TWO_CHORDS.replace("{more}", "") + CONTROL, {}, name="r.toml")


@pytest.fixture(scope="session")
def first() -> Target:
    return Target("A", "L-R")


@pytest.fixture(scope="session")
def second() -> Target:
    return Target("A", "L-K")


@pytest.fixture
def new_pages() -> Callable[..., Pages]:
    return Pages
