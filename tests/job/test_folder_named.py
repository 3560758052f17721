"""A folder that a person types where the disk is full must never end the program."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldtui.job.folder_named import folder_named
from fieldtui.survey import EntryRefused


@pytest.mark.parametrize("typed", ["~nobody-of-this-name/logs", "x" * 400])
def test_a_name_that_no_folder_can_have_is_refused_in_words(typed: str) -> None:
    with pytest.raises(EntryRefused, match="There is no folder"):
        folder_named(typed)


def test_a_name_is_taken_as_typed(tmp_path: Path) -> None:
    assert folder_named(f" {tmp_path} ") == tmp_path
