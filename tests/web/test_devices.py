"""The list of devices and the code for pairing (limits and lengths: of the house)."""

from __future__ import annotations

import os
import re
import stat
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from shopboard.web.devices import (
    MOST_DEVICES,
    TRIES,
    Devices,
    DevicesError,
    NotPairedError,
)
from tests.web.served import Clock


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def devices(tmp_path: Path, clock: Clock) -> Devices:
    return Devices(tmp_path / "state" / "devices.sqlite3", clock)


def wrong(digits: str) -> str:
    return f"{(int(digits) + 1) % 10**8:08}"


def test_a_code_lets_one_device_in_once(devices: Devices) -> None:
    code = devices.new_code()
    assert re.fullmatch("[0-9]{8}", code.digits)
    assert devices.code() == code
    secret = devices.pair(f"{code.digits[:4]} {code.digits[4:]}", " phone  at the bandsaw ")
    found = devices.known_by(secret)
    assert found is not None
    assert (found.name, found.looks_only) == ("phone at the bandsaw", False)
    with pytest.raises(NotPairedError, match="no code is good now"):
        devices.pair(code.digits, "another")
    assert devices.code() is None


def test_a_code_is_good_for_five_minutes(devices: Devices, clock: Clock) -> None:
    code = devices.new_code()
    clock.on(minutes=4, seconds=59)
    assert devices.code() == code
    clock.on(seconds=1)
    with pytest.raises(NotPairedError, match="no code is good now"):
        devices.pair(code.digits, "phone")


def test_a_clock_set_back_makes_no_code_good_for_longer(devices: Devices, clock: Clock) -> None:
    code = devices.new_code()
    clock.on(hours=-1)
    with pytest.raises(NotPairedError, match="no code is good now"):
        devices.pair(code.digits, "phone")


def test_five_wrong_tries_by_whomever_end_a_code(devices: Devices, clock: Clock) -> None:
    code = devices.new_code()
    for _ in range(TRIES - 1):
        other = Devices(devices._file, clock)  # another client, another program
        with pytest.raises(
            NotPairedError, match="that is not the code shown on the computer that serves"
        ):
            other.pair(wrong(code.digits), "phone")
    with pytest.raises(NotPairedError, match="wrong 5 times"):
        devices.pair(wrong(code.digits), "phone")
    with pytest.raises(NotPairedError, match="no code is good now"):
        devices.pair(code.digits, "phone")


@pytest.mark.parametrize("typed", ["", "1234567", "123456789", "١٢٣٤٥٦٧٨", "1234567x", "-1234567"])
def test_what_is_no_code_costs_no_try(devices: Devices, typed: str) -> None:
    devices.new_code()
    with pytest.raises(NotPairedError, match="8 digits"):
        devices.pair(typed, "phone")
    code = devices.code()
    assert code is not None
    assert code.tries == TRIES


def test_a_new_code_ends_the_one_before(devices: Devices) -> None:
    first, second = devices.new_code(), devices.new_code()
    assert devices.code() == second
    if first.digits != second.digits:
        with pytest.raises(
            NotPairedError, match="that is not the code shown on the computer that serves"
        ):
            devices.pair(first.digits, "phone")


@pytest.mark.parametrize(
    "name", ["", "  ", "x" * 41, "a\x1b[2Jb", "a\u202eb", "a\u200bb", "a\x00b", "\ud800"]
)
def test_a_name_that_cannot_be_leaves_the_code_good(devices: Devices, name: str) -> None:
    """A terminal escape, a change of direction (Unicode, annex 9), nothing visible."""
    code = devices.new_code()
    with pytest.raises(NotPairedError, match="the name of a device"):
        devices.pair(code.digits, name)
    assert devices.code() == code


def test_two_devices_have_two_names(devices: Devices) -> None:
    devices.add("Phone", looks_only=False)
    with pytest.raises(NotPairedError, match="another device has that name"):
        devices.add("phone", looks_only=True)
    devices.withdraw(devices.welcome()[0].id)
    devices.add("phone", looks_only=True)


def test_a_device_that_is_withdrawn_comes_in_no_more(devices: Devices) -> None:
    kept, gone = devices.add("kept", looks_only=False), devices.add("gone", looks_only=True)
    device = devices.known_by(gone)
    assert device is not None
    devices.withdraw(device.id)
    assert devices.known_by(gone) is None
    assert devices.known_by("") is None, "what is kept of it is no hash of anything"
    assert devices.known_by(kept) is not None
    assert [one.name for one in devices.welcome()] == ["kept"]


def test_when_a_device_was_seen_is_told_to_the_minute(devices: Devices, clock: Clock) -> None:
    secret = devices.add("phone", looks_only=False)
    since = clock.at
    clock.on(minutes=3)
    devices.known_by(secret)
    (one,) = devices.welcome()
    assert (one.since, one.seen) == (since, clock.at)


def test_there_are_not_too_many(devices: Devices) -> None:
    for number in range(MOST_DEVICES):
        devices.add(f"device {number}", looks_only=True)
    with pytest.raises(NotPairedError, match="withdraw one first"):
        devices.add("one more", looks_only=True)


def test_of_a_secret_only_its_hash_is_kept(devices: Devices) -> None:
    """A secret has 256 random bits: 43 letters of base64 (RFC 4648, section 5)."""
    secret = devices.add("phone", looks_only=False)
    assert len(secret) == 43
    assert secret.encode() not in devices._file.read_bytes()


@pytest.mark.skipif(os.name != "posix", reason="rights as POSIX has them")
def test_the_file_is_for_the_owner_alone(devices: Devices) -> None:
    before = os.umask(0)
    try:
        devices.new_code()
    finally:
        os.umask(before)
    assert stat.S_IMODE(devices._file.stat().st_mode) == 0o600
    assert stat.S_IMODE(devices._file.parent.stat().st_mode) == 0o700


def test_looking_at_no_list_makes_none(devices: Devices) -> None:
    assert devices.welcome() == ()
    assert devices.code() is None
    assert devices.known_by("something") is None
    assert not devices._file.parent.exists()


def test_of_many_at_once_with_the_right_code_one_comes_in(devices: Devices) -> None:
    code = devices.new_code()

    def try_it(number: int) -> bool:
        try:
            devices.pair(code.digits, f"device {number}")
        except NotPairedError:
            return False
        return True

    with ThreadPoolExecutor(8) as pool:
        assert sum(pool.map(try_it, range(24))) == 1
    assert len(devices.welcome()) == 1


def test_two_programs_write_at_once_and_nothing_is_lost(devices: Devices) -> None:
    code = (
        "import sys\nfrom datetime import UTC, datetime\nfrom pathlib import Path\n"
        "from shopboard.web.devices import Devices\n"
        "one = Devices(Path(sys.argv[1]), lambda: datetime.now(UTC))\n"
        "for number in range(12): one.add(f'{sys.argv[2]} {number}', looks_only=True)\n"
    )
    words = [sys.executable, "-c", code, str(devices._file)]
    running = [subprocess.Popen([*words, name]) for name in ("board", "server", "command")]
    assert [one.wait(60) for one in running] == [0, 0, 0]
    assert len({one.name for one in devices.welcome()}) == 36


@pytest.mark.parametrize("content", [b"no database" * 200, b"SQLite format 3\x00" + bytes(4096)])
def test_a_broken_list_is_one_sentence(devices: Devices, content: bytes) -> None:
    devices._file.parent.mkdir()
    devices._file.write_bytes(content)
    with pytest.raises(DevicesError, match="the list of devices cannot be used") as told:
        devices.add("phone", looks_only=False)
    assert "\n" not in str(told.value)
    with pytest.raises(DevicesError):
        devices.welcome()
