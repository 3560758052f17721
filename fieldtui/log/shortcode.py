"""The head of a log as a person writes it down: 12 base32 characters and one to check them.

Alphabet and check symbol after Douglas Crockford, *Base 32* (crockford.com/base32.html): no I, L, O, U; the check
symbol is the number modulo 37. A hash chain cannot see a tail that was cut off; a code in a field book can.
"""

from __future__ import annotations

DIGITS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
CHECKS = DIGITS + "*~$=U"
HEX_DIGITS = 15  # 60 bits, the first of the hash
LENGTH = 12
READ_AS = str.maketrans({"O": "0", "I": "1", "L": "1", " ": None, "-": None})


def short_code(h: str) -> str:
    """The code of a hash in hex, in fours for reading aloud: `XXXX-XXXX-XXXX-C`."""
    value = int(h[:HEX_DIGITS], 16)
    code = "".join(DIGITS[value >> 5 * place & 31] for place in reversed(range(LENGTH)))
    return f"{code[:4]}-{code[4:8]}-{code[8:]}-{CHECKS[value % 37]}"


def code_is_well_copied(code: str) -> bool:
    """True where the check character fits the twelve before it: a slip of the pen is told from another head."""
    plain = _plain(code)
    if len(plain) != LENGTH + 1 or any(digit not in DIGITS for digit in plain[:LENGTH]) or plain[-1] not in CHECKS:
        return False
    value = 0
    for digit in plain[:LENGTH]:
        value = value << 5 | DIGITS.index(digit)
    return CHECKS[value % 37] == plain[LENGTH]


def code_fits(code: str, h: str) -> bool:
    """True where a code, however it was written, is that of the hash; lower case, spaces, dashes, O I L are read."""
    return code_is_well_copied(code) and _plain(code) == _plain(short_code(h))


def _plain(code: str) -> str:
    return code.upper().translate(READ_AS)
