"""Files that give no text: one clear line each."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from shopboard.shop.files import LARGEST
from shopboard.shop.problems import Problem, ShopFileError
from shopboard.shop.reader import read_shop
from tests.shop.texts import SHOP


def problem_of(path: Path) -> Problem:
    """Give the one problem of a file."""
    with pytest.raises(ShopFileError) as caught:
        read_shop(path)
    (problem,) = caught.value.problems
    assert caught.value.path == str(path)
    return problem


def written(folder: Path, data: bytes) -> Path:
    """Write bytes as a shop file."""
    path = folder / "shop.toml"
    path.write_bytes(data)
    return path


class TestNoFile:
    def test_missing(self, tmp_path: Path) -> None:
        """A file that is not there."""
        assert "no such file" in problem_of(tmp_path / "shop.toml").what

    def test_folder(self, tmp_path: Path) -> None:
        """A folder."""
        assert "this is a folder" in problem_of(tmp_path).what

    def test_below_a_file(self, tmp_path: Path) -> None:
        """A path that leads through a file."""
        assert "not a folder" in problem_of(written(tmp_path, b"") / "shop.toml").what

    def test_circle_of_links(self, tmp_path: Path) -> None:
        """A link that leads to itself."""
        link = tmp_path / "shop.toml"
        link.symlink_to(link)
        assert "round in a circle" in problem_of(link).what

    def test_pipe(self, tmp_path: Path) -> None:
        """A named pipe is refused rather than waited for."""
        os.mkfifo(tmp_path / "pipe")
        assert "not a file" in problem_of(tmp_path / "pipe").what

    def test_device(self) -> None:
        """A device is refused."""
        assert "not a file" in problem_of(Path("/dev/zero")).what

    def test_nul_in_its_name(self) -> None:
        """A name that no file can have."""
        assert "name of a file" in problem_of(Path("a\0b")).what

    def test_long_name(self) -> None:
        """A name that is too long."""
        assert "too long" in problem_of(Path("x" * 300)).what

    def test_not_allowed(self, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
        """A file that this account may not read."""

        def refuse(*_: object, **__: object) -> None:
            raise PermissionError(13, "Permission denied")

        path = written(tmp_path, SHOP.encode())
        monkeypatch.setattr(Path, "open", refuse)
        assert "may not read it" in problem_of(path).what


class TestSize:
    def test_ten_megabytes_are_refused_at_once(self, tmp_path: Path) -> None:
        """A wrong file of 10 MB is refused unread: by the work done, however busy others are."""
        path = written(tmp_path, b"# remark\n" * 1_200_000)
        start = time.process_time()
        assert "is it the right file?" in problem_of(path).sentence
        assert time.process_time() - start < 0.2

    def test_largest(self, tmp_path: Path) -> None:
        """A file just within the limit is read."""
        filled = SHOP + "#" * (LARGEST - len(SHOP))
        assert read_shop(written(tmp_path, filled.encode())).shop.points


class TestBytes:
    def test_utf16(self, tmp_path: Path) -> None:
        """UTF-16 is told by its mark."""
        assert "UTF-16" in problem_of(written(tmp_path, SHOP.encode("utf-16"))).what

    def test_utf8_mark_is_accepted(self, tmp_path: Path) -> None:
        """The mark that some editors put before UTF-8 is left out."""
        assert read_shop(written(tmp_path, b"\xef\xbb\xbf" + SHOP.encode())).shop.points

    def test_old_encoding(self, tmp_path: Path) -> None:
        """A byte of an older encoding is shown at its line and column."""
        data = SHOP.replace("table", "Säge").encode("latin-1")
        problem = problem_of(written(tmp_path, data))
        assert (problem.line, problem.column) == (24, 11)
        assert "0xE4" in problem.what
        assert '"ä"' in problem.hint

    def test_nul(self, tmp_path: Path) -> None:
        """A NUL in a text is shown at its place."""
        data = SHOP.replace("blade plate", "blade\0plate").encode()
        problem = problem_of(written(tmp_path, data))
        assert (problem.line, problem.column) == (25, 14)

    @pytest.mark.parametrize("start", [b"\x7fELF\x02\x01\x01", b"\x89PNG\r\n\x1a\n", b"PK\x03\x04"])
    def test_binary(self, tmp_path: Path, start: bytes) -> None:
        """A program, a picture or a packed file is no text."""
        data = start + bytes(range(256)) * 20
        assert "a file of bytes" in problem_of(written(tmp_path, data)).what

    @pytest.mark.parametrize("seed", range(10))
    def test_noise(self, tmp_path: Path, seed: int) -> None:
        """Noise gives a problem, never a crash."""
        data = bytes((i * i * 31 + seed * 97 + (i >> 3)) & 0xFF for i in range(5000))
        assert problem_of(written(tmp_path, data)).what


class TestLineEnds:
    def test_crlf(self, tmp_path: Path) -> None:
        """Windows line ends are accepted."""
        assert read_shop(written(tmp_path, SHOP.replace("\n", "\r\n").encode())).shop.points

    def test_crlf_keeps_places(self, tmp_path: Path) -> None:
        """With Windows line ends, lines and columns are the same."""
        data = SHOP.replace("lever = 3", "lever = 0").replace("\n", "\r\n").encode()
        problem = problem_of(written(tmp_path, data))
        assert (problem.line, problem.column) == (26, 9)
        assert problem.source_line == "lever = 0"

    def test_lone_carriage_return(self, tmp_path: Path) -> None:
        """A carriage return alone hides what stands before it: refused at its place."""
        data = SHOP.replace("lever = 3\n", "lever = 3\rturn = 'no'\n").encode()
        problem = problem_of(written(tmp_path, data))
        assert (problem.line, problem.column) == (26, 10)

    def test_no_last_line_end(self, tmp_path: Path) -> None:
        """The last line needs no end."""
        assert read_shop(written(tmp_path, SHOP.rstrip().encode())).shop.points


class TestLoaded:
    def test_digest_follows_the_bytes(self, tmp_path: Path) -> None:
        """The digest changes with the file, and only with it."""
        first = read_shop(written(tmp_path, SHOP.encode()))
        same = read_shop(written(tmp_path, SHOP.encode()))
        other = read_shop(written(tmp_path, SHOP.encode() + b"# more\n"))
        assert first.digest == same.digest != other.digest

    def test_stamp(self, tmp_path: Path) -> None:
        """The stamp is the time of the last change and the size."""
        path = written(tmp_path, SHOP.encode())
        status = path.stat()
        assert read_shop(path).stamp == (status.st_mtime_ns, status.st_size)
