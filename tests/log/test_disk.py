"""Network disks are warned of."""

from __future__ import annotations

from pathlib import Path

import pytest

from fieldtui.log import disk_warning
from fieldtui.log.disk import kind_of_disk

# the form of a line is that of proc(5), section /proc/pid/mountinfo; the places are invented
MOUNTS = """\
22 1 8:1 / / rw,relatime shared:1 - ext4 /dev/sda1 rw
40 22 0:35 / /srv/shared rw,relatime shared:20 - nfs4 server:/export rw
41 22 0:36 / /media/my\\040stick rw - vfat /dev/sdb1 rw
42 41 0:37 / /media/my\\040stick/far rw - fuse.sshfs far: rw
44 22 0:39 / /srv/büro rw - cifs //server/büro rw
43 22 0:38 / /home rw master:1 - ext4 /dev/sda2 rw
"""


@pytest.mark.parametrize(
    ("folder", "kind", "warned"),
    [
        ("/far/logs", "ext4", False),
        ("/srv/shared", "nfs4", True),
        ("/srv/shared/job/logs", "nfs4", True),
        ("/srv/sharedness", "ext4", False),
        ("/media/my stick/logs", "vfat", False),
        ("/media/my stick/far/logs", "fuse.sshfs", True),
        ("/home/crew", "ext4", False),
        ("/srv/büro/logs", "cifs", True),
    ],
)
def test_the_mount_that_holds_a_folder_says_what_it_is(folder: str, kind: str, warned: bool, tmp_path: Path) -> None:
    mounts = tmp_path / "mountinfo"
    mounts.write_text(MOUNTS, encoding="utf-8")
    assert kind_of_disk(Path(folder), MOUNTS) == kind
    assert bool(disk_warning(Path(folder), mounts=mounts, platform="linux")) == warned


def test_a_link_is_followed_to_the_disk_it_leads_to(tmp_path: Path) -> None:
    (tmp_path / "mountinfo").write_text(MOUNTS, encoding="utf-8")
    (tmp_path / "logs").symlink_to("/srv/shared/job/logs")
    assert disk_warning(tmp_path / "logs", mounts=tmp_path / "mountinfo", platform="linux")


def test_where_the_system_does_not_tell_nothing_is_said(tmp_path: Path) -> None:
    assert disk_warning(tmp_path, mounts=tmp_path / "none", platform="darwin") == ""
    assert disk_warning(tmp_path, platform="win32") == ""
    assert "network disk" in disk_warning(Path("\\\\server\\share\\logs"), platform="win32")
    assert disk_warning(tmp_path) == ""
