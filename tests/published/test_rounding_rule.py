"""The examples of JCGM 100:2008 7.2.6 for the rounding of uncertainties."""

from __future__ import annotations

from decimal import Decimal

import pytest

from fieldtui.reduction import rounded, show_u
from fieldtui.route.units import METRIC


@pytest.mark.parametrize(("u", "shown"), [(10.47, "11"), (28.05, "28")])
def test_up_unless_hardly_anything_is_dropped(u, shown):
    assert show_u(u, METRIC) == shown


def test_the_estimate_at_the_place_of_its_uncertainty():
    """10.057 62 ohm with 27 milliohm is 10.058 ohm."""
    assert rounded(Decimal("10.05762"), 3) == Decimal("10.058")
