"""Serve the board to a browser: a phone or a tablet at the machine, or this computer's own."""

from __future__ import annotations

import argparse
import asyncio
import errno
import os
import signal
import sys
from collections.abc import Mapping, Sequence
from contextlib import AsyncExitStack, suppress
from importlib.util import find_spec
from socket import AF_INET, AF_INET6, SOCK_DGRAM, socket
from typing import TYPE_CHECKING

from shopboard.base import exit_codes
from shopboard.commands.errors import UsageError, explain
from shopboard.commands.output import out, say
from shopboard.commands.serve_door import door_arguments, door_of, say_how
from shopboard.open_shop import utc_now
from shopboard.web.door import Door, as_host

if TYPE_CHECKING:
    from ssl import SSLContext

    from shopboard.web.shown import AtAGlance

PORT = 8765

LATER = 5
"""How much later than others it gets its turn (nice(2), POSIX): the board at the bench comes first.
"""

_EPILOG = """\
examples:
  shopboard serve                            the board at http://127.0.0.1:8765/
  shopboard --shop my_shop.toml serve --port 9000
  shopboard serve --on 192.168.1.5           for phones and tablets of the shop, once paired
  shopboard devices --code                   a code by which one pairs; `b` on the board shows it
"""

_NEEDS = {"aiohttp": "aiohttp", "textual_serve": "textual-serve"}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = _EPILOG
    door_arguments(parser)
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
            f"serve needs {' and '.join(missing)}: in the folder of the program"
            " .venv/bin/pip install '.[web]' brings it"
        )
    from shopboard.commands.serve_shown import shown  # by aiohttp

    door, tls = door_of(options)
    named = [(f"--{one}", getattr(options, one, None)) for one in ("shop", "journal")]
    words = [word for name, value in named if value is not None for word in (name, value)]
    words += ["--new-journal"] if getattr(options, "new_journal", False) else []
    if "bench" in options:
        os.environ["SHOPBOARD_WHO"] = options.bench  # of whoever has no name of a device
    if hasattr(os, "nice"):
        os.nice(LATER)
    return asyncio.run(_serve(door, tls, words, shown(options)))


async def _serve(
    door: Door, tls: SSLContext | None, words: Sequence[str], at_a_glance: AtAGlance
) -> int:
    from shopboard.web.devices import Devices, devices_file
    from shopboard.web.guard import Guard
    from shopboard.web.listening import listening
    from shopboard.web.served import Serving

    asyncio.get_running_loop().set_exception_handler(_say_fault)
    told = _told_to_stop()  # before its address is said: whoever reads that may end it at once
    application = Serving(words).application()
    at_a_glance.routes(application)
    Guard(door, Devices(devices_file(), utc_now), explain).stand_before(application)
    async with AsyncExitStack() as stack:
        try:
            await stack.enter_async_context(listening(application, door, tls))
        except OSError as error:
            number = error.errno or 0  # of a name that is not known it is below 0
            why = os.strerror(number) if number > 0 else error.strerror
            say(f"shopboard: port {door.port} on {door.address} cannot be had: {why or error}.")
            if number == errno.EADDRINUSE:
                say("--port N takes another one.")
            return exit_codes.USAGE
        scheme = "https" if tls else "http"
        host = as_host(_as_reached(door.address))
        out(f"The board is at {scheme}://{host}:{door.port}/ (Ctrl+C ends it).")
        sys.stdout.flush()  # whoever started it in a pipe waits for that line
        say_how(door)
        if why := await at_a_glance.trouble():
            say(f"shopboard: it shows no shop yet. {why}")
        await told.wait()
    return exit_codes.ALL_RIGHT


def _say_fault(_: object, told: Mapping[str, object]) -> None:
    """Say a fault of the program's own; that a connection broke, or one too many came, is none."""
    error = told.get("exception")
    if isinstance(error, Exception) and not isinstance(error, OSError):
        explain(error)


def _as_reached(address: str) -> str:
    """Give the address by which a device of the network comes, where every one is listened at.

    Nothing is sent: the system is asked which of its own it would use.
    """
    if address not in ("0.0.0.0", "::"):  # noqa: S104 - what a person may type
        return address
    family, other = (AF_INET6, "2001:db8::1") if address == "::" else (AF_INET, "192.0.2.1")
    with suppress(OSError), socket(family, SOCK_DGRAM) as one:
        one.connect((other, 9))
        return str(one.getsockname()[0])
    return address


def _told_to_stop() -> asyncio.Event:
    """Give what is set by Ctrl+C, or by the system that ends it."""
    told = asyncio.Event()
    for number in (signal.SIGINT, signal.SIGTERM):
        with suppress(NotImplementedError):  # Windows: Ctrl+C comes as an exception
            asyncio.get_running_loop().add_signal_handler(number, told.set)
    return told
