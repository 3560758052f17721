"""A small sound route, invented, that the tests put mistakes into."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import pytest

from fieldtui.route import Problem, RouteRefused, parse_route

SOUND = """\
# An invented scenario.
format = 1
name = "Invented drift"
units = "metric"
time_zone = "Etc/UTC"

[uncertainty]
temperature = 0.5
reproducibility = 0.08
hole = 0.03

[[face]]
name = "north"
advances = "up"

[[tape]]
serial = "T-1"
pitch = 25.0
first_hole = 1
first_hole_distance = 25.0
holes = 400
expansion = 11.6e-6
expansion_uncertainty = 0.5e-6
reference_temperature = 20.0

[[extensometer]]
serial = "X-1"
dial_serial = "D-1"
dial_range = [0.0, 50.0]
dial_resolution = 0.01
dial = "adds"
repeatability = 0.05

[[control]]
name = "frame"
length = 3000.0
limit = 0.15
expansion = 11.6e-6
reference_temperature = 20.0

[[level]]
name = "watch"
closing = 5.0
response = "Read again."
tell = ["shift engineer"]

[[level]]
name = "act"
closing = 10.0
response = "Stop."
tell = ["shift engineer", "site manager"]

[[frequency]]
rate_above = 1.0
every_hours = 24

[stability]
rate_below = 0.2
share_of_end = 0.9

[[care]]
what = "dial battery"
every_days = 365

[[station]]
name = "S1"
chainage = 10.0
face = "north"
[[station.anchor]]
name = "L"
across = -2.0
up = 1.5
[[station.anchor]]
name = "R"
across = 2.0
up = 1.5
[[station.anchor]]
name = "K"
across = 0.0
up = 3.5
[[station.chord]]
from = "L"
to = "R"
length = 4.0
[[station.chord]]
from = "L"
to = "K"

[[station]]
name = "S2"
chainage = 20.0
[[station.anchor]]
name = "L"
across = -2.1
up = 1.5
[[station.anchor]]
name = "R"
across = 2.1
up = 1.5
[[station.chord]]
from = "L"
to = "R"
"""


@pytest.fixture
def sound() -> str:
    return SOUND


@pytest.fixture
def problems_of() -> Callable[..., tuple[Problem, ...]]:
    """What a text is refused for; fails if it is not refused."""

    def problems(text: str, files: Mapping[str, str] | None = None) -> tuple[Problem, ...]:
        with pytest.raises(RouteRefused) as refused:
            parse_route(text, files or {}, name="road.toml")
        return refused.value.problems

    return problems
