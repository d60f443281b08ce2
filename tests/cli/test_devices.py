"""`shopboard devices`: listed, paired by a code, withdrawn, as plain lines."""

from __future__ import annotations

from shopboard.open_shop import utc_now
from shopboard.web.devices import Devices, devices_file
from tests.cli.program import Program


def listed() -> Devices:
    return Devices(devices_file(), utc_now)


def test_a_code_lets_a_device_in(program: Program) -> None:
    ran = program("devices")
    assert (ran.code, ran.out) == (0, "")
    assert "No device is paired with this computer" in ran.err
    ran = program("devices", "--code")
    assert "good once" in ran.err
    listed().pair(ran.out, "phone at the bandsaw")
    assert program("devices").out.startswith("phone at the bandsaw: since ")


def test_a_secret_is_printed_once_and_only_reads(program: Program) -> None:
    secret = program("devices", "--new", "wall").out.strip()
    one = listed().known_by(secret)
    assert one is not None
    assert one.looks_only
    assert program("devices").out.startswith("wall: only looks, since ")
    ran = program("devices", "--new", "WALL")
    assert (ran.code, ran.out) == (2, "")
    assert "another device has that name" in ran.err


def test_a_device_is_withdrawn_by_its_name(program: Program) -> None:
    secret = program("devices", "--new", "wall").out.strip()
    ran = program("devices", "--withdraw", "wal")
    assert ran.code == 2
    assert "did you mean wall?" in ran.err
    assert "comes in no more" in program("devices", "--withdraw", "Wall").err
    assert listed().known_by(secret) is None
    assert "no device is paired with this computer" in program("devices", "--withdraw", "wall").err


def test_one_act_at_a_time(program: Program) -> None:
    assert program("devices", "--code", "--new", "wall").code == 2
    assert program("devices", "--new", "\x1b[2J").code == 2
    assert listed().welcome() == ()


def test_a_list_that_cannot_be_written_is_one_sentence(program: Program) -> None:
    devices_file().parent.parent.mkdir(parents=True, exist_ok=True)
    devices_file().parent.write_text("a file in the way")
    ran = program("devices", "--code")
    assert ran.code == 6
    assert ran.err.count("\n") == 1
    assert "the list of devices cannot be used" in ran.err
