"""Ground may be rougher than all readings before have shown: the tails of what is expected.

A spread is itself an estimate, and goes out of date. So now and then movement spreads more widely than was foretold;
errors of reading, which are known better, do not. Rough ground is rough for a whole station, so that its other chords
show it (`beside`).
"""

from __future__ import annotations

from math import sqrt

from fieldtui.reduction.mixture import Mixture

SELDOM = 0.04
"""In so many readings the ground is rough."""
ROUGH = 4.0
"""Variance of movement then, in that which was foretold: spreads are twice as wide."""
CALM = (1 - SELDOM * ROUGH) / (1 - SELDOM)
"""Variance of movement otherwise, so that over all readings it is the one foretold."""


def with_rough(mixture: Mixture, own: float, share: float = SELDOM) -> Mixture:
    """What is expected where the ground may be rough, with this probability. `own`: variance of errors of reading.

    At `SELDOM` mean and variance stay as they were.
    """
    middle, moving = mixture.mean, mixture.sd**2 - own
    if moving <= 0:
        return mixture
    drawn = sqrt(CALM)
    parts = [
        ((1 - share) * w, middle + drawn * (m - middle), min(own, v) + CALM * (v - min(own, v)))
        for w, m, v in mixture.parts
    ]
    return Mixture((*parts, (share, middle, own + ROUGH * moving)))
