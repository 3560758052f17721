"""How figures are shown. Rounding happens here and nowhere else: nothing that is shown is ever computed with again.

Values are rounded half to even (ISO 80000-1, annex B, rule A). Uncertainties follow JCGM 100 7.2.6.
"""

from __future__ import annotations

from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from functools import cache

from fieldtui.reduction.exact import EXACT
from fieldtui.route.units import Units


def show_length(value: Decimal, units: Units) -> str:
    """A length in small units, with the decimals of the route's units: `8012.35`."""
    return f"{rounded(value, units.decimals):f}"


def show_change(value: Decimal, units: Units) -> str:
    """A change or rate in small units, always with its sign: `+0.12`, `-0.34`. Nil is `+0.00`, never `-0.00`."""
    return f"{rounded(value, units.decimals):+f}"


def rounded(value: Decimal, decimals: int) -> Decimal:
    """Half to even at so many decimals; nil is without a sign."""
    return EXACT.add(value.quantize(_one(-decimals), ROUND_HALF_EVEN, EXACT), 0)


@cache
def _one(place: int) -> Decimal:
    """One at a decimal place: 0.01 for -2."""
    return Decimal(1).scaleb(place, EXACT)


def show_u(uncertainty: float, units: Units) -> str:
    """An uncertainty in small units, standard or expanded: `0.25`, `1.3`, `13`.

    JCGM 100 7.2.6: at most two significant digits, and rounded up rather than to the nearest, unless hardly anything
    is dropped (there, 10.47 becomes 11, and 28.05 becomes 28). Never more decimals than the values have. An
    uncertainty that is not nil is never shown as nil.
    """
    exact = Decimal(uncertainty)
    if exact == 0:
        return f"{rounded(exact, units.decimals):f}"
    place = max(-units.decimals, exact.adjusted() - 1)
    shown = _up(exact, place)
    if shown.adjusted() - 1 > place:
        shown = shown.quantize(_one(shown.adjusted() - 1), context=EXACT)
    return f"{shown:f}" if place < 0 else f"{shown.quantize(_one(0), context=EXACT):f}"


_HARDLY_ANYTHING = Decimal("0.0501")
"""Of the last digit kept: the 0.05 of the example, and the rounding of a float."""


@cache
def _digit(place: int) -> tuple[Decimal, Decimal]:
    """One at a decimal place, and so much of it as is hardly anything."""
    return _one(place), _HARDLY_ANYTHING.scaleb(place, EXACT)


def _up(exact: Decimal, place: int) -> Decimal:
    digit, hardly_anything = _digit(place)
    down = exact.quantize(digit, ROUND_FLOOR, EXACT)
    return EXACT.add(down, digit) if down == 0 or EXACT.subtract(exact, down) > hardly_anything else down
