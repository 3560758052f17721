"""Base 32 with a check symbol, against its author's description.

Douglas Crockford, *Base 32*, https://www.crockford.com/base32.html: symbols 0-9 A-Z without I, L, O, U; check symbols
`*`, `~`, `$`, `=`, `U` for 32 to 36; the check symbol is the number modulo 37; decoding takes o as 0, i and l as 1, and
hyphens are ignored.
"""

from __future__ import annotations

import pytest

from fieldtui.log import code_fits, short_code
from fieldtui.log.shortcode import CHECKS, DIGITS


def test_symbols() -> None:
    assert DIGITS == "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
    assert CHECKS[32:] == "*~$=U"


@pytest.mark.parametrize(
    ("value", "code"),
    [
        # worked by hand from the description
        (0, "000000000000-0"),
        (32, "000000000010-*"),
        (36, "000000000014-U"),
        (37, "000000000015-0"),
        (1234, "0000000016J-D"),
        # dcode.fr, "Crockford Base-32": 1650553701 modulo 37 is 18, the check symbol J
        (1650553701, "1H62WV5-J"),
    ],
)
def test_value_and_check(value: int, code: str) -> None:
    h = f"{value:015x}" + "0" * 49
    digits, check = code.rsplit("-", 1)
    assert short_code(h).replace("-", "") == digits.rjust(12, "0") + check
    assert code_fits(code.rjust(14, "0").replace("1", "i"), h)
