"""The head as a person writes it down."""

from __future__ import annotations

import random

import pytest

from fieldtui.log import code_fits, code_is_well_copied, short_code

H = "0f" * 32


def test_twelve_characters_and_a_check_in_fours() -> None:
    assert short_code("0" * 64) == "0000-0000-0000-0"
    assert short_code("f" * 64) == "ZZZZ-ZZZZ-ZZZZ-9"
    code = short_code(H)
    assert [len(part) for part in code.split("-")] == [4, 4, 4, 1]


def test_it_is_read_back_however_it_was_written() -> None:
    h = "00442108" + "a7" * 28
    code = short_code(h)
    assert "0" in code
    assert "1" in code
    for written in (
        code,
        code.lower(),
        code.replace("-", ""),
        code.replace("-", " "),
        code.replace("0", "O").replace("1", "I"),
        code.replace("0", "o").replace("1", "l"),
    ):
        assert code_fits(written, h), written
    assert not code_fits(code, H)


def test_a_slip_of_the_pen_is_told_from_another_head() -> None:
    chance = random.Random(3)
    for _ in range(300):
        h = f"{chance.getrandbits(256):064x}"
        plain = short_code(h).replace("-", "")
        at = chance.randrange(13)
        wrong = chance.choice([one for one in "0123456789ABCDEFGHJKMNPQRSTVWXYZ" if one != plain[at]])
        assert not code_is_well_copied(plain[:at] + wrong + plain[at + 1 :])
        if at < 11 and plain[at] != plain[at + 1]:
            exchanged = plain[:at] + plain[at + 1] + plain[at] + plain[at + 2 :]
            assert not code_is_well_copied(exchanged)


@pytest.mark.parametrize(
    "code", ["", "ABC", "0000-0000-0000", "0000-0000-0000-00", "U000-0000-0000-0", "0000-0000-0000-é"]
)
def test_what_is_no_code_fits_nothing(code: str) -> None:
    assert not code_is_well_copied(code)
    assert not code_fits(code, "0" * 64)
