"""Who may come in, as the options of `shopboard serve` say it."""

from __future__ import annotations

import argparse
from pathlib import Path

import pytest

from shopboard.commands.errors import UsageError
from shopboard.commands.serve_door import door_arguments, door_of, say_how


def options(*words: str) -> argparse.Namespace:
    parser = argparse.ArgumentParser()
    door_arguments(parser)
    return parser.parse_args(words, argparse.Namespace(port=8765))


def test_without_options_this_computer_alone_comes_in(capsys: pytest.CaptureFixture[str]) -> None:
    door, tls = door_of(options())
    assert (door.address, door.port, door.needs_secret, tls) == ("127.0.0.1", 8765, False, None)
    say_how(door)
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(
    "words",
    [("--on", "192.168.1.5"), ("--on", "127.0.0.1"), ("--behind-proxy",), ("--name", "a.example")],
)
def test_with_any_other_nobody_comes_in_without_a_secret(
    words: tuple[str, ...], capsys: pytest.CaptureFixture[str]
) -> None:
    door, _ = door_of(options(*words))
    assert door.needs_secret
    say_how(door)
    told = capsys.readouterr().err
    assert "code of 8 digits" in told
    assert ("can read what is sent" in told) is (words[-1] == "192.168.1.5")


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("--name", "a.example:80"), "--name takes a name"),
        (("--name", "https://a.example"), "--name takes a name"),
        (("--name", "a b"), "--name takes a name"),
        (("--key", "k.pem"), "--key goes with --certificate"),
        (("--certificate", "gone.pem"), "gone.pem cannot be read"),
    ],
)
def test_what_cannot_be_is_one_sentence(
    words: tuple[str, ...], why: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(UsageError, match=why):
        door_of(options(*words))


def test_names_may_be_several() -> None:
    door, _ = door_of(options("--name", "a.example", "--name", "board"))
    assert door.names == ("a.example", "board")
