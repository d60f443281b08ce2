"""Text from outside is shown, never obeyed."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.base.text import first_unfit, harmless, is_unfit, with_a
from tests.in_turn import part


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("\x1b]52;c;aGk=\x07", "<U+001B>]52;c;aGk=<U+0007>"),
        ("\x1b[2J", "<U+001B>[2J"),
        ("\x9b2J", "<U+009B>2J"),
        ("saw\u202ewas", "saw<U+202E>was"),
        ("\u2067fence\u2069", "<U+2067>fence<U+2069>"),
        ("sa\u200bw", "sa<U+200B>w"),
        ("sa\u00adw", "sa<U+00AD>w"),
        ("one\ntwo\ttabs\r", "one<U+000A>two<U+0009>tabs<U+000D>"),
        ("nul\x00", "nul<U+0000>"),
        ("del\x7f", "del<U+007F>"),
        ("half \ud800", "half <U+D800>"),
        ("own \ue000", "own <U+E000>"),
        ("tag \U000e0041", "tag <U+E0041>"),
        ("filler \u3164\u115f\uffa0", "filler <U+3164><U+115F><U+FFA0>"),
        ("braille blank \u2800", "braille blank <U+2800>"),
        ("joiner \u034f", "joiner <U+034F>"),
        ("line\u2028paragraph\u2029", "line<U+2028>paragraph<U+2029>"),
        ("heart \u2764\ufe0f", "heart \u2764<U+FE0F>"),
        ("\ufeffbom", "<U+FEFF>bom"),
    ],
)
def test_what_a_terminal_would_obey_or_hide_is_written_out(text: str, shown: str) -> None:
    """Control sequences, direction marks, invisible and private characters."""
    assert harmless(text) == shown


@pytest.mark.parametrize(
    "text",
    [
        "",
        'table saw, 3 1/4"',
        "Säge Nº 3 — Anschlag",
        "丸鋸 定盤",
        "пила",
        "½ ± 0.1° 35′49″ µm × 2",
        "[bold]not markup[/]",
        "non-breaking\u00a0and\u202fnarrow",
        "e\u0301 combined",
        "🪚",
        "\ufffd",
    ],
)
def test_what_people_write_is_left_as_it_is(text: str) -> None:
    assert harmless(text) == text
    assert first_unfit(text) is None


@pytest.mark.parametrize(
    ("text", "index"),
    [("\x1bsaw", 0), ("saw\x1b", 3), ("sä\u200bw\x00", 2), ("saw", None), ("sä", None), ("", None)],
)
def test_the_first_unfit_character_is_found_at_its_place(text: str, index: int | None) -> None:
    """The shop file points at it."""
    assert first_unfit(text) == index


def test_no_control_format_private_or_surrogate_character_of_unicode_passes() -> None:
    """Every code point, by its Unicode category; signs that enclose digits do draw, and pass."""
    draws = {*range(0x0600, 0x0606), 0x06DD, 0x070F, 0x0890, 0x0891, 0x08E2, 0x110BD, 0x110CD}
    hieroglyph_joiners = set(range(0x13430, 0x13440))
    passing = {
        code
        for code in range(0x110000)
        if unicodedata.category(chr(code)) in ("Cc", "Cf", "Cs", "Co", "Zl", "Zp")
        and not is_unfit(chr(code))
    }
    assert passing <= draws | hieroglyph_joiners


@given(st.text(st.characters(codec=None)))
@settings(deadline=None)
def test_whatever_comes_in_goes_out_fit_and_fit_text_unchanged(text: str) -> None:
    shown = harmless(text)
    assert first_unfit(shown) is None
    assert harmless(shown) == shown
    assert (shown == text) is not any(map(is_unfit, text))


def test_marks_on_a_letter_do_not_pile_up() -> None:
    """Five at the most, of each letter; two of Vietnamese and three of Hebrew stay."""
    tower = "Sa" + "\u0301\u0489" * 20 + "w"
    assert harmless(tower) == "Sa\u0301\u0489\u0301\u0489\u0301w"
    assert harmless("\x1b" + tower).startswith("<U+001B>Sa\u0301")
    for text in ("a\u0302\u0301", "\u05e9\u05c1\u05bc\u05b8"):
        assert harmless(text) == text


@settings(max_examples=part(200))
@given(st.text(st.sampled_from("ab \u0301\u0489\u20dd°\x1b"), max_size=60))
def test_no_letter_shown_has_more_than_five_marks(text: str) -> None:
    """Held against the categories of Unicode's character database, mark by mark."""
    run = 0
    for char in harmless(text):
        run = run + 1 if unicodedata.category(char) in ("Mn", "Me") else 0
        assert run <= 5
    assert [one for one in harmless(text) if one in "ab"] == [one for one in text if one in "ab"]


@pytest.mark.parametrize(
    "words",
    ["a 5 min", "an 8 min", "an 11 h", "a 12 min", "an 18.5 %", "an 80 %", "a 1 h", "an over 99 %"],
)
def test_a_number_has_the_article_that_is_spoken_before_it(words: str) -> None:
    """Eight, eleven and eighteen begin with a vowel: plain English."""
    assert with_a(words.partition(" ")[2]) == words
