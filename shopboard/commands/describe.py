"""Describe a shop: question by question, on the board or as plain lines; a shop file comes out."""

from __future__ import annotations

import argparse
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING

from shopboard.base import exit_codes
from shopboard.base.locations import answers_path, is_something_at
from shopboard.base.text import harmless
from shopboard.commands.output import out, prompt, say
from shopboard.commands.shared import paths, shop_opened

if TYPE_CHECKING:
    from shopboard.describing.asked import Question
    from shopboard.describing.description import Description


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "--plain", action="store_true", help="plain lines, in any terminal, instead of the board"
    )


def run(options: argparse.Namespace) -> int:
    """Ask until all is answered or it is left."""
    path, _ = paths(options)
    if is_something_at(path):
        say(
            f"shopboard: there is a shop file already, {path}; it is left as it is.",
            "Change it with `shopboard edit`, or describe another one: --shop FILE.",
        )
        if is_something_at(answers_path(path)):
            say(f"Answers that were given before it was there are kept in {answers_path(path)}.")
        return exit_codes.USAGE
    from shopboard.commands.board import no_board, open_board

    if options.plain or no_board():
        return _plain(path, options)
    shop, journal = getattr(options, "shop", None), getattr(options, "journal", None)
    begin, who = getattr(options, "new_journal", False), getattr(options, "bench", None)
    return open_board(shop, journal, begin=begin, describes=True, who=who)


def _plain(path: Path, options: argparse.Namespace) -> int:
    """Ask as plain lines."""
    from shopboard.describing.begun import begun
    from shopboard.describing.draft import DraftError
    from shopboard.describing.finish import record, write
    from shopboard.describing.reading import NotRightError
    from shopboard.writing.saving import NotSavedError

    try:
        with closing(begun(path)) as one:
            say("Enter takes what is offered.   back: one step back   leave: go on later")
            if not _asked(one):
                say("", f"Left; the answers are kept in {one.draft.path}.")
                return exit_codes.ALL_RIGHT
            write(one)
            out(f"Written: {path}")
            with closing(shop_opened(options, records=True)) as open_shop:
                record(one, open_shop.journal, open_shop.shop, open_shop.now())
    except (DraftError, NotRightError, NotSavedError) as error:
        say(f"shopboard: {error}.")
        return exit_codes.CANNOT_WRITE
    say("`shopboard` opens it; `shopboard proofread` looks through it.")
    return exit_codes.ALL_RIGHT


def _asked(description: Description) -> bool:
    """Ask what is left; tell whether all is answered."""
    from shopboard.checks.steps import AnswerError

    while (question := description.question) is not None:
        _show(question, description.stand.part)
        line = prompt("> ")
        word = line.strip()
        if not line or word == "leave":
            return False
        try:
            if word == "back":
                description.back()
            else:
                description.answer(word)
        except AnswerError as error:
            say(f"! {error}")
    return True


def _show(question: Question, part: str) -> None:
    from shopboard.describing.asked import Look, Ticks, Typed

    out(
        "",
        harmless(f"{part}: {question.title}"),
        *(f"   {harmless(one)}" for one in question.lines),
    )
    if isinstance(question, Typed):
        out(f"   Enter: {harmless(question.default)}")
        return
    beside = question.beside
    for number, option in enumerate(question.options, 1):
        aside = harmless(beside[number - 1]) if beside else ""
        taken = option.value == question.default and not isinstance(question, Ticks)
        aside = f"{aside}  (Enter)" if taken else aside
        ticked = isinstance(question, Ticks) and option.value in question.ticked
        mark = "" if not isinstance(question, Ticks) else "[x] " if ticked else "[ ] "
        out(f"   {number:>2}  {mark}{harmless(option.label)}   {aside}".rstrip())
    if isinstance(question, Ticks):
        out("   Numbers, as 1, 3; none; or Enter: as ticked.")
    elif isinstance(question, Look):
        out("   A number changes a line; Enter: all as it stands.")
