"""A mixture of normals against scipy's normals."""

from __future__ import annotations

import pytest
from scipy import stats
from scipy.integrate import quad

from fieldtui.reduction.mixture import Mixture, mixed, thinned

PARTS = ((0.5, 1.0, 0.25), (0.3, -2.0, 4.0), (0.2, 0.0, 100.0))
MIXTURE = Mixture(PARTS)


@pytest.mark.parametrize("x", [-30.0, -2.0, 0.0, 0.7, 1.0, 12.0])
def test_density_and_share_below_are_those_of_its_parts(x):
    assert MIXTURE.density(x) == pytest.approx(sum(w * stats.norm.pdf(x, m, v**0.5) for w, m, v in PARTS))
    assert MIXTURE.below(x) == pytest.approx(sum(w * stats.norm.cdf(x, m, v**0.5) for w, m, v in PARTS))
    assert MIXTURE.density(x, 9.0) == pytest.approx(sum(w * stats.norm.pdf(x, m, (v + 9) ** 0.5) for w, m, v in PARTS))


def test_mean_and_standard_deviation_are_those_of_the_density():
    assert MIXTURE.mean == pytest.approx(
        quad(lambda x: x * MIXTURE.density(x), -150, 150, points=[-2, 0, 1])[0], rel=1e-6
    )
    second = quad(lambda x: (x - MIXTURE.mean) ** 2 * MIXTURE.density(x), -150, 150, points=[-2, 0, 1])[0]
    assert MIXTURE.sd == pytest.approx(second**0.5, rel=1e-6)


def test_moved_scaled_and_widened():
    moved = MIXTURE.moved(3.0, 4.0, 1.0)
    assert moved.mean == pytest.approx(MIXTURE.mean + 3)
    assert moved.parts[0] == (0.5, 4.0, 2.0)


def test_taken_together_by_their_shares():
    both = mixed([(1.0, Mixture(((1.0, 0.0, 1.0),))), (3.0, Mixture(((1.0, 8.0, 1.0),)))])
    assert both.mean == pytest.approx(6.0)
    with pytest.raises(ValueError, match="weight"):
        mixed([(0.0, MIXTURE)])


def test_thinned_leaves_out_what_is_light_and_never_all():
    assert len(thinned(MIXTURE, 0.25).parts) == 2
    assert sum(w for w, _, _ in thinned(MIXTURE, 0.25).parts) == pytest.approx(1)
    assert thinned(MIXTURE, 0.9).parts == ((1.0, 1.0, 0.25),)
