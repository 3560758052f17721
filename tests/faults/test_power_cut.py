"""A power cut on ext4: all that was acknowledged before it is there afterwards."""

from __future__ import annotations

from pathlib import Path

import pytest

from faultlab.mounts import need_root
from faultlab.power import an_image, cut_power


def test_power_cut(tmp_path: Path) -> None:
    need_root("mkfs.ext4", "losetup")
    image = an_image(tmp_path)
    counts = [cut_power(image, tmp_path / "disk", seed=seed) for seed in range(2)]
    assert min(counts) > 0


def test_power_cut_without_fsync_is_caught(tmp_path: Path) -> None:
    need_root("mkfs.ext4", "losetup")
    with pytest.raises(AssertionError, match="are gone"):
        cut_power(an_image(tmp_path), tmp_path / "disk", "unsynced", seed=0)
