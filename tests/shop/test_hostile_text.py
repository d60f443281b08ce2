"""Text that a terminal would obey, or that reads differently from what it holds, is refused.

The mark » stands right before the place that must be shown.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.base.text import first_unfit
from shopboard.shop.problems import ShopFileError, render
from shopboard.shop.reader import read_shop_text
from tests.shop.texts import SHOP, load, only_problem, problems_of, spoilt, unmark

NAME = '"Table saw"'
REFUSED = [
    ("clipboard", '"a»\\u001b]52;c;aGVsbG8=\\u0007"', "control character U+001B"),
    ("clear screen", '"»\\u001b[2J"', "control character U+001B"),
    ("short escape", '"a \\x41 »\\e[2J"', "control character U+001B"),
    ("two digits", '"»\\x1b[2J"', "control character U+001B"),
    ("eight bit", '"saw»\\u009b2J"', "control character U+009B"),
    ("eight bit raw", '"saw»\x9b2J"', "control character U+009B"),
    ("turned", '"saw »\u202ewas"', "U+202E turns the direction"),
    ("turned escape", '"saw »\\u202Ewas"', "U+202E turns the direction"),
    ("zero width", '"sa»\u200bw"', "invisible character U+200B"),
    ("joined emoji", '"»\U0001f468\u200d\U0001f527"', "invisible character U+200D"),
    ("byte order mark", '"saw»\ufeff"', "invisible character U+FEFF"),
    ("long escape", '"s»\\U0000200Baw"', "invisible character U+200B"),
    ("line feed", '"Table»\\nsaw"', "more than one line"),
    ("lines", '"""Table»\nsaw"""', "more than one line"),
    ("tab", '"Table»\tsaw"', "a tab"),
    ("private", "'saw»\ue000'", "U+E000"),
    ("after a harmless escape", '"\\u0041\\\\ »\\u0007"', "control character U+0007"),
]


@pytest.mark.parametrize(("value", "words"), [r[1:] for r in REFUSED], ids=[r[0] for r in REFUSED])
def test_refused_at_the_very_character(value: str, words: str) -> None:
    """The place is that of the character or of the escape that stands for it."""
    marked = spoilt(NAME, value)
    if value.startswith('"»\U0001f468'):
        marked = marked.replace("»\U0001f468", "\U0001f468»")
    text, line, column = unmark(marked)
    problem = only_problem(text)
    assert words in problem.what
    assert (problem.line, problem.column) == (line, column)


def test_in_a_key() -> None:
    """Keys are held to the same rules."""
    text, line, column = unmark(SHOP + '"le»\\u200bver" = 1\n')
    assert ("invisible character U+200B in a text", line, column) in [
        (problem.what, problem.line, problem.column) for problem in problems_of(text)
    ]


def test_deep_inside_an_unknown_key() -> None:
    """Text below keys that nobody knows is looked at, too."""
    text, line, column = unmark(SHOP + 'x = { y = [1, { z = "»\\u0007" }] }\n')
    assert (line, column) in [(problem.line, problem.column) for problem in problems_of(text)]


@pytest.mark.parametrize("char", ["\x1b", "\x9b", "\u202e", "\u200b", "\x07", "\ue000", "\u2028"])
@pytest.mark.parametrize(
    "where", ['name = "Table saw"', "[shop]", "lever = 3", "[[machine.point]]"]
)
def test_nothing_of_it_reaches_the_screen(char: str, where: str) -> None:
    """However a file is spoilt, its problems can be printed as they are."""
    for text in (SHOP.replace(where, where + char), SHOP.replace(where, char + where)):
        with pytest.raises(ShopFileError) as caught:
            read_shop_text(text, name=f"shop{char}.toml")
        for problem in caught.value.problems:
            assert char not in render(caught.value.path, problem)


def test_markup_is_only_text() -> None:
    """Square brackets in names are kept as they are."""
    name = "fence [left] [/] [@click=app.quit]"
    assert load(spoilt(NAME, f'"{name}"')).shop.machines[0].name == name


def test_wide_letters_are_kept() -> None:
    """Letters of any language are good names."""
    assert load(spoilt(NAME, '"Kreissäge 丸鋸"')).shop.machines[0].name == "Kreissäge 丸鋸"


@given(st.text(max_size=40))
def test_any_name_is_kept_or_refused(name: str) -> None:
    """A name is kept to the letter, or trimmed, or refused: never changed otherwise."""
    quoted = "".join(f"\\U{ord(c):08X}" for c in name if not 0xD800 <= ord(c) <= 0xDFFF)
    whole = "".join(c for c in name if not 0xD800 <= ord(c) <= 0xDFFF)
    try:
        kept = load(spoilt(NAME, f'"{quoted}"')).shop.machines[0].name
    except ShopFileError as error:
        shown = str(error)
    else:
        shown = kept
        assert kept == whole.strip()
    assert first_unfit(shown.replace("\n", "")) is None


@given(st.text(st.sampled_from("[]{}=\"'\\\n#,.a1- \u202e\x1b"), max_size=60))
def test_any_text_is_answered(text: str) -> None:
    """Whatever is appended, the file is read or its problems are told."""
    try:
        read_shop_text(SHOP + text)
    except ShopFileError as error:
        shown = str(error)
    else:
        shown = ""
    assert "\x1b" not in shown
    assert "\u202e" not in shown
