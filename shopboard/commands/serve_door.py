"""Who may come in at `shopboard serve`: its options for names, proxy and certificate."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from shopboard.base.locations import file_named
from shopboard.commands.errors import UsageError
from shopboard.commands.output import say
from shopboard.web.door import Door, is_host

if TYPE_CHECKING:
    import ssl

HERE = "127.0.0.1"

HOW = (
    "A device pairs by a code of 8 digits: on this computer `b` on the board, or"
    " `shopboard devices --code`."
)


def door_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "--on",
        metavar="ADDRESS",
        help=f"address to listen on, for devices that have paired; else {HERE}, for this computer",
    )
    parser.add_argument(
        "--name",
        metavar="HOST",
        action="append",
        default=[],
        help="a name by which browsers call this server, too; may be given again",
    )
    parser.add_argument("--certificate", metavar="FILE", help="PEM: the server speaks TLS by it")
    parser.add_argument("--key", metavar="FILE", help="PEM: its key, where that is another file")
    parser.add_argument(
        "--behind-proxy",
        action="store_true",
        help="requests come by a proxy that speaks TLS; see `shopboard help browser`",
    )


def door_of(options: argparse.Namespace) -> tuple[Door, ssl.SSLContext | None]:
    """Give the rules that the options ask for, and the certificate read.

    Raises:
        UsageError: when they cannot be.
    """
    for name in options.name:
        if not is_host(name):
            raise UsageError(f"--name takes a name such as board.example, not {name[:60]!r}")
    if options.key is not None and options.certificate is None:
        raise UsageError("--key goes with --certificate")
    tls = None
    if options.certificate is not None:
        from shopboard.web.tls import CertificateError, tls_by

        key = None if options.key is None else file_named(options.key)
        try:
            tls = tls_by(file_named(options.certificate), key)
        except CertificateError as error:
            raise UsageError(str(error)) from None
    door = Door(
        address=options.on or HERE,
        port=options.port,
        on=options.on is not None,
        names=tuple(options.name),
        tls=tls is not None,
        behind_proxy=options.behind_proxy,
    )
    return door, tls


def say_how(door: Door) -> None:
    """Say how a device comes in, and what is to be thought of."""
    if door.needs_secret:
        say(HOW)
    if door.on and not door.secure and door.address not in (HERE, "::1", "localhost"):
        say("Without --certificate whoever listens in on the network can read what is sent.")
