"""Every rule of the log, broken on purpose: the check that guards it must go red.

`python -m tests.faults.campaign --broken` prints the same as a table.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from faultlab.rules import CHECKS, RULES, Check, Rule, caught

SECTIONS = {
    "record", "create", "append", "lock", "failed write", "reopen", "torn tail", "damage", "clock", "space",
    "continuation", "identity and gathering", "short code",
}  # fmt: skip


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.__name__)
def test_the_check_is_green_with_the_rules_in_place(check: Check, tmp_path: Path) -> None:
    check(tmp_path)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_the_broken_rule_is_caught(rule: Rule, tmp_path: Path) -> None:
    caught(rule, tmp_path)


def test_no_section_is_without_a_broken_rule() -> None:
    assert {rule.section for rule in RULES} == SECTIONS
