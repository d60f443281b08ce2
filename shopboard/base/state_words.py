"""The word by which each state is shown. Records, JSON and scripts keep the state's own name."""

from __future__ import annotations

STATE_WORDS = {
    "true": "true",
    "near": "borderline",
    "out": "out",
    "due": "due",
    "waits": "waits",
    "unproven": "unproven",
    "noted": "noted",
    "kept": "no checks",
}
"""Of a point, a machine or a result."""

WIDEST_STATE = max(map(len, STATE_WORDS.values()))
"""Columns of the longest."""


def state_word(state: str) -> str:
    """Give the word for a state; of one that this program does not know, its own name."""
    return STATE_WORDS.get(state, state)


def stands_words(state: str) -> str:
    """Say in a sentence how something stands: ``is due``, ``waits``."""
    word = state_word(state)
    return word if word == "waits" else f"has {word}" if state == "kept" else f"is {word}"
