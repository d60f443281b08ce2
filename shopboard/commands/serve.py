"""Serve the board to a browser: a phone or a tablet at the machine, or this computer's own."""

from __future__ import annotations

import argparse
import asyncio
import signal
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib.util import find_spec

from shopboard.base import exit_codes
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out, say

HERE = "127.0.0.1"
PORT = 8765

_EPILOG = """\
examples:
  shopboard serve                            the board at http://127.0.0.1:8765/
  shopboard --shop my_shop.toml serve --port 9000
"""

_NEEDS = {"aiohttp": "aiohttp", "textual_serve": "textual-serve"}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = _EPILOG
    parser.add_argument(
        "--on", metavar="ADDRESS", default=HERE, help=f"address to listen on; else {HERE}"
    )
    parser.add_argument(
        "--port", metavar="N", type=_port, default=PORT, help=f"1 to 65535; else {PORT}"
    )


def _port(typed: str) -> int:
    if not (typed.isascii() and typed.isdigit() and len(typed) <= 5 and 1 <= int(typed) <= 65535):
        raise argparse.ArgumentTypeError("a whole number from 1 to 65535")
    return int(typed)


def run(options: argparse.Namespace) -> int:
    """Serve until Ctrl+C."""
    missing = [package for name, package in _NEEDS.items() if find_spec(name) is None]
    if missing:
        raise UsageError(
            f"serve needs {' and '.join(missing)}: pip install 'shopboard[web]' brings it"
        )
    if options.on != HERE:
        raise UsageError(f"serve listens on {HERE} alone: nothing else would be asked for a secret")
    named = [(f"--{one}", getattr(options, one, None)) for one in ("shop", "journal")]
    words = [word for name, value in named if value is not None for word in (name, value)]
    words += ["--new-journal"] if getattr(options, "new_journal", False) else []
    return asyncio.run(_serve(options.on, options.port, words))


async def _serve(address: str, port: int, words: Sequence[str]) -> int:
    from aiohttp import web

    from shopboard.web.served import Serving

    runner = web.AppRunner(Serving(words).application(), access_log=None, shutdown_timeout=1.0)
    await runner.setup()
    try:
        await web.TCPSite(runner, address, port).start()
    except OSError as error:
        await runner.cleanup()
        say(f"shopboard: port {port} on {address} cannot be had: {error.strerror or error}.")
        say("--port N takes another one.")
        return exit_codes.USAGE
    out(f"The board is at http://{address}:{port}/ (Ctrl+C ends it).")
    sys.stdout.flush()  # whoever started it in a pipe waits for that line
    await _told_to_stop()
    await runner.cleanup()
    return exit_codes.ALL_RIGHT


async def _told_to_stop() -> None:
    """Wait for Ctrl+C, or for the system to end it."""
    told = asyncio.Event()
    for number in (signal.SIGINT, signal.SIGTERM):
        with suppress(NotImplementedError):  # Windows: Ctrl+C comes as an exception
            asyncio.get_running_loop().add_signal_handler(number, told.set)
    await told.wait()
