"""What a setting is called on the screens that change it."""

from __future__ import annotations

from shopboard.shop.declared import sorts
from shopboard.shop.what_for import on_screen
from shopboard.shop.what_for.on_screen import on_screen as called

WIDEST = 22
"""Columns: the value beside it is to be read on a screen of 80."""


def test_each_is_a_setting_and_short_and_no_two_of_a_table_are_alike() -> None:
    known = {f"{name}.{key}" for name, sort in sorts().items() for key in sort.keys}
    assert on_screen._HERE.keys() <= known
    assert on_screen._SHARED.keys() <= {one.rpartition(".")[2] for one in known}
    for name, sort in sorts().items():
        words = [called(name, key) for key, one in sort.keys.items() if one.allowed is not None]
        assert max(map(len, words), default=0) <= WIDEST, name
        assert len(set(words)) == len(words), name


def test_no_key_of_the_file_with_a_stroke_is_shown() -> None:
    for name, sort in sorts().items():
        assert not any("_" in called(name, key) for key in sort.keys)
