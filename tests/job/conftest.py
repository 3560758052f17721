"""An invented route with two tapes, two extensometers and a control frame, and a shelf to put surveys on."""

from __future__ import annotations

import pytest

from fieldtui.route import Route
from harness.shelf import Shelf, route_with


@pytest.fixture(scope="session")
def route() -> Route:
    return route_with()


@pytest.fixture
def shelf(route: Route) -> Shelf:
    return Shelf(route)
