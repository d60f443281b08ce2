"""A disk whose power can be cut: ext4 in a file, mounted, and shut down without a flush."""

from __future__ import annotations

import os
import shutil
import struct
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

_FS_IOC_SHUTDOWN = 0x8004587D
_WITHOUT_FLUSH = 2
"""The file system forgets everything that was not brought to the disk: a power cut."""


class LoopDisk:
    """An ext4 file system in a file."""

    def __init__(self, folder: Path) -> None:
        self._image = folder / "disk.img"
        self.mount_point = folder / "disk"

    def make(self, megabytes: int = 24) -> None:
        """Make the file system, empty."""
        with self._image.open("wb") as image:
            image.truncate(megabytes << 20)
        _command("mkfs.ext4", "-q", "-m0", str(self._image))
        self.mount_point.mkdir()

    def mount(self) -> None:
        """Mount it; after a cut this replays the file system's own journal."""
        _command("mount", "-o", "loop", str(self._image), str(self.mount_point))

    def unmount(self) -> None:
        """Unmount it."""
        _command("umount", str(self.mount_point))

    def cut_power(self) -> None:
        """Lose everything that is not on the disk; the mount stays, dead."""
        import fcntl  # not on Windows, where the tests that need a disk are skipped

        handle = os.open(self.mount_point, os.O_RDONLY)
        try:
            fcntl.ioctl(handle, _FS_IOC_SHUTDOWN, struct.pack("I", _WITHOUT_FLUSH))
        finally:
            os.close(handle)

    def power_again(self) -> None:
        """Mount it anew after a cut."""
        self.unmount()
        self.mount()

    @contextmanager
    def only_up_to(self, piece: bytes) -> Iterator[None]:
        """Mount it for a while without the sectors from that piece on: they fail to be read."""
        image = self._image.read_bytes()
        with self.mounted(), self._image.open("rb+") as file:
            file.truncate(image.index(piece))
            try:
                yield
            finally:
                file.write(image)

    @contextmanager
    def mounted(self) -> Iterator[None]:
        """Mount it for a while."""
        self.mount()
        try:
            yield
        finally:
            self.unmount()


@contextmanager
def loop_disk(folder: Path) -> Iterator[LoopDisk]:
    """Give a loop disk, or skip the test with the reason why this computer gives none.

    Only refusals of the computer skip. What fails afterwards is a fault of the
    harness and fails the test: a power-cut test that silently does nothing is
    worse than none.
    """
    _need_root("mkfs.ext4", "mount", "umount")
    disk = LoopDisk(folder)
    disk.make()
    try:
        disk.mount()
    except subprocess.CalledProcessError as error:
        pytest.skip(f"loop mounts refused by this kernel: {error.stderr.strip()}")
    disk.unmount()
    try:
        yield disk
    finally:
        if os.path.ismount(disk.mount_point):
            disk.unmount()


@contextmanager
def small_disk(folder: Path, kilobytes: int) -> Iterator[Path]:
    """Give a folder with room for so many kilobytes, or skip the test with the reason."""
    _need_root("mount", "umount")
    place = folder / "small"
    place.mkdir()
    try:
        _command("mount", "-t", "tmpfs", "-o", f"size={kilobytes}k", "tmpfs", str(place))
    except subprocess.CalledProcessError as error:
        pytest.skip(f"mounts refused by this kernel: {error.stderr.strip()}")
    try:
        yield place
    finally:
        _command("umount", "--lazy", str(place))  # a server may not be done with what it held


def _need_root(*tools: str) -> None:
    if not sys.platform.startswith("linux"):
        pytest.skip("needs Linux")
    if os.geteuid() != 0:
        pytest.skip("needs root to mount a disk")
    missing = [tool for tool in tools if shutil.which(tool) is None]
    if missing and os.environ.get("CI") == "true":
        pytest.fail(f"install {', '.join(missing)}: these tests must run here")
    if missing:
        pytest.skip(f"not installed: {', '.join(missing)}")


def _command(*words: str) -> None:
    subprocess.run(words, check=True, capture_output=True, text=True)
