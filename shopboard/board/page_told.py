"""What a page says in large type beside the board: the question, its answers, and what is typed.

All of it is taken from what screens declare, and from what is drawn as a key where there is room
for all its words, so that a screen has its buttons without knowing of any page. Pure.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.state_words import state_word
from shopboard.board.canvas import Canvas
from shopboard.board.frame import SMALLEST
from shopboard.board.glyphs import STATE_MARKS, TAG_MARK
from shopboard.board.going_on import place_of
from shopboard.board.hits import Hit, hits_of, key_named
from shopboard.board.paint import WHOLE, Line, clip, plain, said
from shopboard.board.screens.base import ShopScreen
from shopboard.board.screens.sitting import SittingScreen
from shopboard.board.screens.typing import TypingScreen
from shopboard.checks.steps import Choice, Finding, Step
from shopboard.journal import JournalError
from shopboard.upkeep.cutter_words import SHARP_MARKS
from shopboard.upkeep.safety_record import DO_NOT_USE

MOST_WORDS = 600
"""Characters on a button: more are no words of a shop."""

MOST_ANSWERS = 30
"""Buttons of the lines of a screen."""

_MARKS = re.escape("".join((*STATE_MARKS.values(), *SHARP_MARKS.values(), TAG_MARK)))

_DRAWN = re.compile(rf"(?!(?<!\S)[{_MARKS}] +\w)[─-▟►]+")
"""Frames, blocks and the cursor: what a button needs no more; the mark before a state stays."""

_ALSO = re.compile(r"^(?:[-+*/.]|Enter) ")
"""A key of the pad that does the same as the letter before it."""


class PageTold(NamedTuple):
    """What is shown, and what it is told apart by."""

    mark: tuple[object, ...]
    """Another one is another question: a button of the last is worth nothing."""
    said: dict[str, Any]
    """What goes to the page: text alone."""


def told_of(screen: ShopScreen) -> PageTold:
    """Say what a screen shows."""
    marked = next((one.marked for one in screen.query(Canvas)), ())
    step = screen.sitting.step if isinstance(screen, SittingScreen) else None
    field = screen.field if isinstance(screen, TypingScreen) else None
    keys = _buttons(marked[-1:])
    drawn = whole(screen)[1:-2] if marked and not field else []
    answers = [] if field else _answers(step, _buttons(drawn, MOST_ANSWERS - len(keys)))
    keys = [one for one in keys if one[0] not in dict(answers)]
    told = {
        "title": screen.heading() or plain(marked[0] if marked else ()).strip(),
        "ask": step.title if step is not None else "",
        "big": _big(step),
        "tag": _tag(screen),
        "lines": _lines(screen, drawn),
        "say": screen.notice_words,
        "answers": answers,
        "keys": keys,
        "field": {None: "", "words": "words"}.get(field, "number"),
        "entry": screen.entry if isinstance(screen, TypingScreen) else "",
        "beside": said(screen.understood()) if isinstance(screen, TypingScreen) else "",
        "at": place_of(screen),
    }
    number = screen.sitting.number if isinstance(screen, SittingScreen) else 0
    pressed = tuple(key for key, _ in answers)
    return PageTold((id(screen), number, told["ask"], field, pressed), told)


def _tag(screen: ShopScreen) -> str:
    """Say that the machine shown is not to be used, and why; while that cannot be read, nothing."""
    try:
        why = screen.tagged() or screen.tag_here()
    except JournalError:
        return ""
    return f"{TAG_MARK} {DO_NOT_USE}: {said(why)}" if why else ""


def _big(step: Step | None) -> str:
    """Give the verdict of a result, as large as it is on the board; else what is to be read so."""
    verdict = (step.outcome.verdict if isinstance(step, Finding) else None) or ""
    if verdict:
        return f"{STATE_MARKS[verdict]} {state_word(verdict).upper()}"
    return step.big if step is not None else ""


def _lines(screen: ShopScreen, drawn: Sequence[Line]) -> list[str]:
    """Give what a screen says; of one that is read, the words of the lines that are no key, too."""
    try:
        told = [*map(said, screen.told())]
    except JournalError:
        told = []  # what is drawn says so
    read = (one for one in drawn if screen.is_read and not any(hits_of(one)))
    words = (" ".join(_DRAWN.sub(" ", plain(one)).split()) for one in read)
    return [*told, *(said(one) for one in words if any(map(str.isalnum, one)))]


def _answers(step: Step | None, drawn: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """Give the answers of a choice with all their words; of all else the lines that are keys."""
    if not isinstance(step, Choice):
        return drawn
    return [(str(at), one.label) for at, one in enumerate(step.options, 1)]


def whole(screen: ShopScreen) -> list[Line]:
    """Draw a screen so wide that no words are cut.

    What it keeps of its picture (how far it was scrolled) stays that of what is seen.
    """
    width, height = screen.size
    if width < SMALLEST[0] or height < SMALLEST[1]:
        return []
    kept = vars(screen).copy()
    try:
        return screen.paint(WHOLE, height)
    finally:
        vars(screen).update(kept)


def _buttons(lines: Sequence[Line], most: int = MOST_ANSWERS) -> list[tuple[str, str]]:
    """Give each key that is drawn once, with the words of the lines that are it."""
    found: dict[str, list[str]] = {}
    for line in lines:
        for one, words in _words(line):
            if one.key in found:
                found[one.key].append(words)
            elif len(found) < most:
                first, _, rest = words.partition(" ")
                found[one.key] = [_ALSO.sub("", rest) if key_named(first) == one.key else words]
    every = ((key, ". ".join(filter(None, words))) for key, words in found.items())
    return [(key, clip(said(words), MOST_WORDS)) for key, words in every if words]


def _words(line: Line) -> Iterator[tuple[Hit, str]]:
    """Give the keys of a line, and what is written on each."""
    hits = [*hits_of(line)]
    if not hits:
        return
    cells = [char for char in plain(line).rstrip() for _ in range(max(1, cell_len(char)))]
    for one in hits:
        yield one, " ".join(_DRAWN.sub(" ", "".join(cells[one.start : one.end])).split())
