"""The name of a bench: what may be one, where it is looked for, how it is kept.

That canonically equal texts are one name after NFC: Unicode Standard Annex 15, section 1.2.
"""

from __future__ import annotations

import os
import stat
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.base.text import first_unfit
from shopboard.base.who import (
    MOST,
    BadNameError,
    keep_name,
    kept_name,
    name_typed,
    same_name,
    shown_name,
    who_is_here,
)

BAD = {
    "empty": "",
    "blank": "  \u00a0 ",
    "an escape": "bench\x1b[2J",
    "a line feed": "bench\n2",
    "a tab": "bench\t2",
    "a right-to-left mark": "bench\u200f2",
    "an override": "bench\u202e2",
    "zero width": "ben\u200bch",
    "a NUL": "bench\0",
    "a surrogate": "bench\udc80",
    "a tower of marks": "b" + "\u0335" * 9,
    "marks alone": "\u0301\u0302",
    "signs alone": "--",
    "41 characters": "b" * 41,
}


@pytest.fixture
def kept() -> Path:
    """The file of the name, as it is after one was kept."""
    keep_name("bench 1")
    (found,) = (one for one in Path(os.environ["XDG_STATE_HOME"]).rglob("*") if one.is_file())
    return found


@pytest.mark.parametrize("text", BAD.values(), ids=BAD)
def test_what_can_be_no_name_is_refused_with_one_sentence(text: str) -> None:
    for way in (name_typed, who_is_here):
        with pytest.raises(BadNameError) as refused:
            way(text)
        assert first_unfit(str(refused.value)) is None
    assert who_is_here() == ""


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("  bench   2 ", "bench 2"),
        ("bench\u00a02", "bench 2"),
        ("Scho\u0308n", unicodedata.normalize("NFC", "Scho\u0308n")),
        ("\u05e1\u05d3\u05e0\u05d4", "\u05e1\u05d3\u05e0\u05d4"),
        ("b" * MOST, "b" * MOST),
        ("[red]2[/]", "[red]2[/]"),
    ],
)
def test_a_name_has_one_form(typed: str, name: str) -> None:
    assert name_typed(typed) == name
    assert name_typed(name) == name
    keep_name(typed)
    assert who_is_here() == name


def test_option_comes_before_environment_and_that_before_what_is_kept(
    kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert who_is_here() == "bench 1"
    monkeypatch.setenv("SHOPBOARD_WHO", "tablet")
    assert (who_is_here(), who_is_here("office"), kept_name()) == ("tablet", "office", "bench 1")
    monkeypatch.setenv("SHOPBOARD_WHO", "")  # a script lost it: not taken for another one
    with pytest.raises(BadNameError, match="SHOPBOARD_WHO in the environment"):
        who_is_here()


def test_a_name_is_taken_away(kept: Path) -> None:
    keep_name("")
    keep_name("")
    assert who_is_here() == ""
    assert not kept.exists()


@pytest.mark.skipif(os.name != "posix", reason="rights of a file are those of POSIX")
def test_the_file_is_its_owners_alone(kept: Path) -> None:
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600


@pytest.mark.parametrize(
    "held", [b"", b"\xff\xfe", b"bench\x1b[2J\n", b"b" * 5000, b"one\ntwo\n", b"\n\n"]
)
def test_a_broken_file_names_nobody_and_stops_nothing(kept: Path, held: bytes) -> None:
    kept.write_bytes(held)
    assert who_is_here() == ""
    keep_name("bench 3")
    assert who_is_here() == "bench 3"


def test_a_refused_name_leaves_the_one_that_is_kept(kept: Path) -> None:
    with pytest.raises(BadNameError):
        keep_name("bench\x1b")
    assert who_is_here() == "bench 1"


@given(st.one_of(st.text(max_size=80), st.integers(), st.none(), st.lists(st.text())))
def test_whatever_a_journal_holds_is_shown_harmless(recorded: object) -> None:
    shown = shown_name(recorded)
    assert first_unfit(shown) is None
    assert len(shown) <= MOST
    assert shown == shown.strip()
    if not isinstance(recorded, str):
        assert shown == ""


def test_capitals_make_no_other_bench() -> None:
    assert same_name("Bench 1", "bench 1")
    assert not same_name("bench 1", "bench 2")
