"""Equal keys are one error."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from fieldtui.reduction import Source, covariance
from fieldtui.reduction.sources import difference, merged, standard_uncertainty, terms


def test_equal_keys_add_with_their_signs_and_others_in_quadrature():
    one, same, other = Source("a", ("x",), 0.3), Source("a", ("x",), -0.1), Source("a", ("y",), 0.4)
    assert standard_uncertainty([one, same]) == pytest.approx(0.2)
    assert standard_uncertainty([one, other]) == pytest.approx(0.5)


def test_terms_of_one_name_add_in_quadrature_and_make_up_the_whole():
    sources = [Source("a", ("x",), 3.0), Source("a", ("y",), 4.0), Source("b", ("z",), 12.0)]
    assert terms(sources) == {"a": 5.0, "b": 12.0}
    assert standard_uncertainty(sources) == pytest.approx(13.0)


def test_weights_scale_the_effects_and_each_key_stands_once():
    x, y = Source("a", ("x",), 1.0), Source("b", ("y",), 2.0)
    assert merged([(Fraction(1, 2), [x, y]), (-1, [x])]) == (Source("a", ("x",), -0.5), Source("b", ("y",), 1.0))


def test_no_sources_no_uncertainty():
    assert standard_uncertainty([]) == 0


def test_covariance_is_over_the_errors_that_are_shared():
    one = [Source("a", ("x",), 2.0), Source("a", ("y",), 5.0)]
    other = [Source("a", ("x",), -3.0), Source("a", ("z",), 7.0)]
    assert covariance(one, other) == pytest.approx(-6.0)
    assert covariance(one, one) == pytest.approx(standard_uncertainty(one) ** 2)


SOURCES = st.lists(
    st.builds(Source, st.just("any"), st.tuples(st.integers(0, 4)), st.floats(-9, 9).map(lambda effect: effect + 0.0)),
    max_size=6,
)


@given(SOURCES, SOURCES)
@example([Source("one", (1,), 0.3)], [Source("one", (1,), 0.1), Source("another", (2,), 0.2)])
@example([Source("one", (1,), 0.3), Source("one", (1,), 0.3)], [Source("one", (1,), 0.1)])
def test_a_difference_is_the_weighted_sum_of_one_and_less_one(sources: list[Source], less: list[Source]) -> None:
    expected = merged([(1, sources), (-1, less)])
    assert difference(sources, less) == tuple(expected)
