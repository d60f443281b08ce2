"""The command line: arguments in, one command run, an exit code out, never a traceback.

Nothing slow is imported before the command that needs it.
"""

from __future__ import annotations

import errno
import io
import os
import sys
from collections.abc import Mapping, Sequence
from contextlib import suppress
from typing import NoReturn

from shopboard.base import exit_codes

_FOLDERS = ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME")
"""Of the environment, that the program asks for."""


def console() -> NoReturn:
    """Run as the console script."""
    code = main(sys.argv[1:])
    try:
        sys.stderr.flush()
    except OSError:  # words that nobody can read do not make it fail; Python would, at exit
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stderr.fileno())
    sys.exit(code)


def main(argv: Sequence[str]) -> int:
    """Run one command and give its exit code."""
    _settle_streams()
    try:
        code = _run(argv)
        sys.stdout.flush()
    except SystemExit as stop:
        return stop.code if isinstance(stop.code, int) else exit_codes.USAGE
    except KeyboardInterrupt:
        return exit_codes.INTERRUPTED
    except BrokenPipeError:
        # The reader of a pipe has gone; say nothing more, not even at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return exit_codes.ALL_RIGHT
    except OSError as error:
        if error.errno != errno.ENOSPC:
            return _explain(error, argv)
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        with suppress(OSError):
            sys.stderr.write("shopboard: the disk is full: the output is not complete\n")
        return exit_codes.CANNOT_WRITE
    except Exception as error:  # noqa: BLE001 - the last net: report, never a traceback
        return _explain(error, argv)
    return code


def _run(argv: Sequence[str]) -> int:
    """Run what the arguments ask for."""
    files = _files_alone(argv)
    if files is not None:
        _say_what_is_not_heeded({name.lstrip("-"): path for name, path in files.items()})
        _look_at_name(files.get("--who"))
        from shopboard.commands.board import open_board

        return open_board(files.get("--shop"), files.get("--journal"), who=files.get("--who"))
    from shopboard.commands.arguments import command_module, parse

    options = parse(argv)
    _say_what_is_not_heeded(vars(options))
    _look_at_name(getattr(options, "bench", None))
    code: int = command_module(options.command or "board").run(options)
    return code


def _say_what_is_not_heeded(files: Mapping[str, str | None]) -> None:
    """Say once which of the environment's folders are passed over."""
    if any(map(os.environ.get, _FOLDERS)):
        from shopboard.base.locations import not_heeded
        from shopboard.commands.output import say

        say(*not_heeded(files.get("shop"), files.get("journal")))


def _look_at_name(option: str | None) -> None:
    """Refuse a name of this bench that can be none, before anything is recorded under it."""
    if option is not None or "SHOPBOARD_WHO" in os.environ:
        from shopboard.base.who import who_is_here

        who_is_here(option)


def _files_alone(argv: Sequence[str]) -> dict[str, str] | None:
    """Give the files, and the bench, that a plain start of the board names; None: more is asked.

    This is how the board starts every morning, and argparse costs a twentieth of that.
    """
    names, values = argv[::2], argv[1::2]
    plain = all(name in ("--shop", "--journal", "--who") for name in names)
    unlike = any(one.startswith("-") or not one.strip() for one in values)
    if not plain or len(names) != len(values) or unlike:
        return None
    return dict(zip(names, values, strict=True))


def _settle_streams() -> None:
    """Let every stream be there, and show ? rather than fail on what it cannot hold."""
    sys.stdin = sys.stdin or io.StringIO()  # None: closed by the caller
    sys.stdout = sys.stdout or io.StringIO()
    sys.stderr = sys.stderr or io.StringIO()
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def _explain(error: Exception, argv: Sequence[str]) -> int:
    """Say in plain words what stopped a command, and give the exit code for it."""
    from shopboard.commands.errors import explain

    pairs = zip(argv, [*argv[1:], ""], strict=False)  # there may be no words at all
    named = [(word, value) for word, value in pairs if word.partition("=")[0] == "--journal"]
    word, value = named[-1] if named else ("", "")
    return explain(error, word.partition("=")[2] or value)
