"""The manual page, made from the parser and the texts of the help, for ``man -l``."""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator

from shopboard import __version__
from shopboard.commands.arguments import COMMANDS, build_parser, command_parser
from shopboard.commands.output import out
from shopboard.handbook.topics import TOPICS, title_of


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.epilog = (
        "shopboard man > shopboard.1; man -l shopboard.1 shows it. In a folder man1 of the"
        " manual path (~/.local/share/man/man1) man shopboard finds it."
    )


def run(options: argparse.Namespace) -> int:  # noqa: ARG001 - as every command's
    """Print the page."""
    out(*_lines())
    return 0


def _lines() -> Iterator[str]:
    """Write the page in the macros of man(7)."""
    parser = build_parser()
    yield f'.TH SHOPBOARD 1 "" "shopboard {__version__}" "User Commands"'
    yield from (".SH NAME", f"shopboard \\- {_text(_first_lower(parser.description or ''))}")
    yield from (".SH SYNOPSIS", ".B shopboard", r"[\fIoptions\fR] [\fICOMMAND\fR] ...")
    yield ".SH COMMANDS"
    for name in COMMANDS:
        yield from _command(name)
    yield ".SH OPTIONS"
    yield from _options(parser)
    for title, lines in _sections(parser.epilog or ""):
        yield f".SH {title.upper()}"
        yield from (".nf", *(_text(line) for line in lines), ".fi")
    yield ".SH HELP BY TOPIC"
    for topic in TOPICS:
        yield from (".TP", rf"\fBshopboard help {_text(topic)}\fR", _text(title_of(topic)))


def _command(name: str) -> Iterator[str]:
    parser = command_parser(name)
    usage = " ".join(parser.format_usage().split()).removeprefix("usage: ")
    usage = re.sub(r" \[-h\]| \[--(?:shop|journal) FILE\]| \[--new-journal\]", "", usage)
    yield from (f".SS {_text(name)}", _text(parser.description or ""), ".PP", f".B {_text(usage)}")
    yield from _options(parser, leave_out=("-h", "--shop", "--journal", "--new-journal"))
    if parser.epilog and parser.formatter_class is argparse.RawDescriptionHelpFormatter:
        yield from (".PP", ".nf", *map(_text, parser.epilog.split("\n")), ".fi")
    elif parser.epilog:
        yield from (".PP", _text(" ".join(parser.epilog.split())))


def _options(parser: argparse.ArgumentParser, leave_out: tuple[str, ...] = ()) -> Iterator[str]:
    """Write what a parser takes and tells about it."""
    for action in parser._actions:  # noqa: SLF001 - argparse tells it nowhere else
        told = action.help and action.help != argparse.SUPPRESS
        if not told or {*action.option_strings} & {*leave_out}:
            continue
        names = ", ".join(action.option_strings)
        metavar = action.metavar if isinstance(action.metavar, str) else ""
        if action.choices and not metavar:
            metavar = "|".join(map(str, action.choices))
        yield from (".TP", rf"\fB{_text(names)}\fR \fI{_text(metavar)}\fR")
        yield _text(" ".join((action.help or "").split()))


def _sections(epilog: str) -> Iterator[tuple[str, list[str]]]:
    """Part the end of the help, whose headings stand at the margin with a colon."""
    parts = re.split(r"^(\S.*):\n", epilog, flags=re.M)
    for title, body in zip(parts[1::2], parts[2::2], strict=True):
        yield title, [line[2:] for line in body.strip("\n").split("\n")]


def _first_lower(words: str) -> str:
    return f"{words[:1].lower()}{words[1:]}".rstrip(".")


def _text(words: str) -> str:
    """Keep words from being read as macros (groff_char(7): a minus is written as one)."""
    safe = words.replace("\\", "\\e").replace("-", "\\-")
    return f"\\&{safe}" if safe.startswith((".", "'")) else safe
