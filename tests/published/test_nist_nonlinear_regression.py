"""The laws against NIST StRD, nonlinear regression: Misra1a, Misra1b, Misra1d (Misra 1978, dental research in
monomolecular adsorption; https://www.itl.nist.gov/div898/strd/nls/nls_main.shtml).

Data, both certified starts, certified values, standard deviations and residual sums of squares are those of the NIST
files. Parameters must agree to 8 significant figures and standard deviations to 5, with the baseline constant held at
0, from both certified starts and from a start that nobody gives.

The certified model's b1, b2 are the law's A and: Misra1a T = 1/b2; Misra1b X = 2/b2; Misra1d T = 1/b2.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from fieldtui.movement.course import Course
from fieldtui.movement.fit import Fit, fit
from fieldtui.movement.laws import EXPONENTIAL, FACE_ADVANCE, HYPERBOLIC, Law

X = [77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0]
Y = [10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78]


@dataclass(frozen=True)
class Certified:
    name: str
    law: Law
    turn: float
    """The law's shape is this over b2."""
    starts: tuple[tuple[float, float], ...]
    b1: tuple[float, float]
    b2: tuple[float, float]
    squares: float


CERTIFIED = [
    Certified(
        "Misra1a", EXPONENTIAL, 1.0, ((500, 0.0001), (250, 0.0005)),
        (2.3894212918e02, 2.7070075241e00), (5.5015643181e-04, 7.2668688436e-06), 1.2455138894e-01,
    ),
    Certified(
        "Misra1b", FACE_ADVANCE, 2.0, ((500, 0.0001), (300, 0.0002)),
        (3.3799746163e02, 3.1643950207e00), (3.9039091287e-04, 4.2547321834e-06), 7.5464681533e-02,
    ),
    Certified(
        "Misra1d", HYPERBOLIC, 1.0, ((500, 0.0001), (450, 0.0003)),
        (4.3736970754e02, 3.6489174345e00), (3.0227324449e-04, 2.9334354479e-06), 5.6419295283e-02,
    ),
]  # fmt: skip


def fitted(case: Certified, start: tuple[float, float] | None) -> Fit:
    own = None if start is None else (start[0], case.turn / start[1])
    return fit(case.law, Course.of(Y, t=X, x=X), held=True, start=own)


@pytest.mark.parametrize("start", [0, 1, None], ids=["first start", "second start", "own start"])
@pytest.mark.parametrize("case", CERTIFIED, ids=lambda case: case.name)
def test_certified_values(case: Certified, start: int | None) -> None:
    found = fitted(case, None if start is None else case.starts[start])
    (a, a_sd), (shape, shape_sd) = found.figures["A"], found.figures[case.law.names[1]]
    b2, b2_sd = case.turn / shape, case.turn * shape_sd / shape**2
    for value, certified, figures in (
        (a, case.b1[0], 8),
        (b2, case.b2[0], 8),
        (a_sd, case.b1[1], 5),
        (b2_sd, case.b2[1], 5),
        (found.squares, case.squares, 8),
    ):
        assert f"{value:.{figures - 1}e}" == f"{certified:.{figures - 1}e}"
    assert found.dof == 12
