"""How well figures fit: the density in its quick form is that of the mixture; temperatures; the repeats' scatter."""

from __future__ import annotations

from decimal import Decimal
from math import pi, prod, sqrt

import pytest
from reduction.adit import EXTENSOMETER, TAPE, WARM, figures, length
from scipy import stats
from scipy.integrate import quad

from fieldtui.reduction import Evidence, Figures
from fieldtui.reduction.fit import booked, expected_temperature, scatter
from fieldtui.reduction.mixture import Mixture
from fieldtui.route.units import METRIC, US

MIXTURE = Mixture(((0.6, 8010.0, 0.04), (0.4, 8009.0, 4.0)))


def read(value=8010.2):
    temper = expected_temperature(METRIC, Evidence(temperatures=(Decimal(12),)), ())
    return booked(length(figures(value)), TAPE, EXTENSOMETER, METRIC, MIXTURE, temper)


@pytest.mark.parametrize("shift", [0.0, -0.3, 2.5, -9.0])
def test_the_quick_density_is_the_mixtures(shift):
    fit = read()
    assert fit.fits(shift) == pytest.approx(MIXTURE.density(fit.value + shift))
    assert fit.fits(shift, 1.44) == pytest.approx(MIXTURE.density(fit.value + shift, 1.44))


def test_far_from_anything_expected_the_density_is_nil_but_for_what_is_wide():
    assert read().fits(60.0) == 0
    assert read().fits(60.0, 400.0) > 0


def test_the_scatter_is_what_the_mean_does_not_carry():
    """The density of three repeats about a mean is that of their mean times that of their scatter."""
    dials, s_r, truth = (12.31, 12.24, 12.40), 0.05, 12.29
    together = prod(stats.norm.pdf(dial, truth, s_r) for dial in dials)
    mean = stats.norm.pdf(sum(dials) / 3, truth, s_r / 3**0.5)
    assert scatter(dials, s_r) * mean == pytest.approx(together)


@pytest.mark.parametrize("dials", [(11.31, 11.24, 11.40), (11.0, 11.5, 11.2), (11.1, 11.6, 11.3, 11.2, 10.9)])
def test_repeats_that_scatter_wildly_make_a_length_that_is_as_loose(dials):
    """One set in a thousand scatters four times as widely: then so does what the set makes, its mean or its median."""
    shown = Figures(320, tuple(Decimal(str(dial)) for dial in dials), WARM)
    fit = booked(length(shown), TAPE, EXTENSOMETER, METRIC, MIXTURE, read().temper)
    n, wider = len(dials), 15 * 0.05**2
    agree = max(dials) - min(dials) < 0.17
    wider *= 1 / n if agree else {3: 1 - sqrt(3) / pi, 5: 0.286834}[n]
    tame, wild = (scatter(dials, times * 0.05) for times in (1, 4))
    joint = 0.999 * tame * MIXTURE.density(fit.value) + 0.001 * wild * MIXTURE.density(fit.value, wider)
    assert abs(fit.value - 8010.4) < 0.2
    assert fit.as_read() == pytest.approx(joint, rel=2e-3)


def test_a_temperature_is_expected_among_the_surveys_others_then_among_earlier_ones():
    near = expected_temperature(METRIC, Evidence(temperatures=tuple(map(Decimal, ("12.0", "12.4")))), ())
    before = expected_temperature(METRIC, Evidence.NONE, (Decimal("9.0"),))
    nothing = expected_temperature(METRIC, Evidence.NONE, ())
    assert near.spread < before.spread < nothing.spread
    assert near.density(12.3) > 100 * near.density(22.3)
    assert expected_temperature(US, Evidence.NONE, ()).middle == 59.0
    scattered = expected_temperature(METRIC, Evidence(temperatures=tuple(map(Decimal, (4, 12, 19)))), ())
    assert scattered.spread > near.spread
    assert quad(near.density, -30, 60, points=[12])[0] == pytest.approx(2.5, rel=0.02)
