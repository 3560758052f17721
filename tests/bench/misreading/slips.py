"""Everything that goes wrong with figures, done to clean ones. The ways are drawn by the documented odds."""

from __future__ import annotations

from decimal import Decimal

from msgspec.structs import replace
from numpy.random import Generator
from scipy.stats import norm

from fieldtui.reduction import Figures, priors

from .instrument import EXTENSOMETER, TAPE

LOW, HIGH = EXTENSOMETER.dial_range
_TRIES = 60


def hole_by_one(figures: Figures, rng: Generator) -> Figures | None:
    return _hole(figures, figures.hole + int(rng.choice([-1, 1])))


def hole_otherwise(figures: Figures, rng: Generator) -> Figures | None:
    """By two, two digits swapped, or one digit wrong."""
    two = sum(share for by, share in priors.HOLE_BY.items() if abs(by) == 2)
    kinds = [two, priors.HOLE_SWAPPED, priors.HOLE_DIGIT]
    kind = rng.choice(3, p=[k / sum(kinds) for k in kinds])
    digits = str(figures.hole)
    if kind == 0:
        return _hole(figures, figures.hole + int(rng.choice([-2, 2])))
    if kind == 1:
        places = [i for i in range(len(digits) - 1) if digits[i] != digits[i + 1]]
        if not places:
            return None
        return _hole(figures, int(_swap(digits, int(rng.choice(places)))))
    place = int(rng.integers(len(digits)))
    other = str(rng.choice([d for d in "0123456789" if d != digits[place]]))
    return _hole(figures, int(digits[:place] + other + digits[place + 1 :]))


def _hole(figures: Figures, hole: int) -> Figures | None:
    return replace(figures, hole=hole) if TAPE.has_hole(hole) and hole != figures.hole else None


def dial(figures: Figures, rng: Generator) -> Figures | None:
    """The same mistake in all repeats."""
    steps = priors.DIAL_BY["mm"]
    kinds = [sum(steps.values()), priors.DIAL_SWAPPED, priors.DIAL_POINT, priors.DIAL_UNIT]
    kind = rng.choice(4, p=[k / sum(kinds) for k in kinds])
    if kind == 0:
        by = float(rng.choice(list(steps), p=[share / kinds[0] for share in steps.values()]))
        return _dials(figures, [d + Decimal(str(by)) for d in figures.dials])
    if kind == 1:
        return _dials_swapped(figures, rng)
    if kind == 2:
        factor = Decimal(str(rng.choice(["10", "0.1", "100", "0.01"], p=[0.4, 0.4, 0.1, 0.1])))
        return _dials(figures, [d * factor for d in figures.dials])
    return _dials(figures, [(d / Decimal("25.4")).quantize(Decimal("0.001")) for d in figures.dials])


def _dials_swapped(figures: Figures, rng: Generator) -> Figures | None:
    texts = [str(d) for d in figures.dials]
    if len({len(text) for text in texts}) > 1:
        return None
    at = [i for i, sign in enumerate(texts[0]) if sign.isdigit()]
    places = [k for k in range(len(at) - 1) if texts[0][at[k]] != texts[0][at[k + 1]]]
    if not places:
        return None
    k = int(rng.choice(places))
    swapped = []
    for text in texts:
        signs = list(text)
        signs[at[k]], signs[at[k + 1]] = signs[at[k + 1]], signs[at[k]]
        swapped.append(Decimal("".join(signs)))
    return _dials(figures, swapped)


def _dials(figures: Figures, dials: list[Decimal]) -> Figures | None:
    """A figure that the dial cannot show is refused when it is typed: it never comes so far."""
    fine = all(LOW <= d <= HIGH for d in dials) and tuple(dials) != figures.dials
    return replace(figures, dials=tuple(dials)) if fine else None


def one_repeat(figures: Figures, rng: Generator) -> Figures | None:
    """One of three repeats is read wrong."""
    i = int(rng.integers(3))
    for _ in range(_TRIES):
        if rng.random() < priors.REPEAT_BY_STEP:
            by = Decimal(str(float(rng.choice(list(priors.DIAL_BY["mm"])))))
        else:
            by = Decimal(str(round(rng.normal(0, priors.REPEAT_SPREAD), 2)))
        dials = [d + by if j == i else d for j, d in enumerate(figures.dials[:3])]
        if by and LOW <= dials[i] <= HIGH:
            return replace(figures, dials=tuple(dials))
    return None


def temperature(figures: Figures, rng: Generator) -> Figures | None:
    """The other unit, a figure dropped, ten degrees, digits swapped, the sign; a figure of the dial in its place."""
    kinds = [
        priors.TEMPERATURE_UNIT,
        priors.TEMPERATURE_DROPPED,
        priors.TEMPERATURE_TEN,
        priors.TEMPERATURE_SWAPPED,
        priors.TEMPERATURE_SIGN,
        priors.TEMPERATURE_DIAL,
    ]
    kind = rng.choice(6, p=[k / sum(kinds) for k in kinds])
    t = float(figures.temperature)
    text = str(figures.temperature).lstrip("-")
    whole = text.split(".")[0]
    if kind == 0:
        wrong = t * 1.8 + 32
    elif kind == 1:
        if len(whole) < 2:
            return None
        wrong = float(whole[0] if rng.random() < 0.5 else whole[1])
        return replace(figures, temperature=Decimal(str(int(wrong))))
    elif kind == 2:
        wrong = t + float(rng.choice([-10.0, 10.0]))
    elif kind == 3:
        if len(whole) < 2 or whole[0] == whole[1]:
            return None
        wrong = float(whole[1] + whole[0] + text[2:])
    elif kind == 4:
        wrong = -t
    else:
        return replace(figures, temperature=figures.dials[int(rng.integers(len(figures.dials)))])
    if not -40 <= wrong <= 60:
        return None
    return replace(figures, temperature=Decimal(str(round(wrong, 1))))


def seating(rng: Generator) -> float:
    """How much too long a caught tape reads, mm: its own law, not the program's."""
    return float(rng.lognormal(0.0, 0.8))


SUDDEN_FROM, SUDDEN_TO = 2.0, 40.0
"""mm: what is looked for as sudden movement."""


def sudden(rng: Generator) -> float:
    """A sudden movement of 2 to 40 mm, every size alike on a logarithmic scale, two in three closing."""
    size = SUDDEN_FROM * (SUDDEN_TO / SUDDEN_FROM) ** rng.random()
    return float(size if rng.random() < 0.33 else -size)


def small(rng: Generator) -> float:
    """What the documented sizes of sudden movement have below those."""
    shares = [share for share, _, _ in priors.SUDDEN]
    while True:
        _, size, sd = priors.SUDDEN[int(rng.choice(len(shares), p=shares))]
        by = float(rng.normal(size, sd))
        if abs(by) < SUDDEN_FROM:
            return by if rng.random() < 0.5 else -by


def share_of_small() -> float:
    """How much of sudden movement that is, by the documented sizes."""
    parts = ((share, norm(size, sd)) for share, size, sd in priors.SUDDEN)
    return float(sum(share * (law.cdf(SUDDEN_FROM) - law.cdf(-SUDDEN_FROM)) for share, law in parts))


def _swap(digits: str, i: int) -> str:
    return digits[:i] + digits[i + 1] + digits[i] + digits[i + 2 :]
