"""Which devices may come in by a browser: listed, paired by a code, withdrawn."""

from __future__ import annotations

import argparse
from datetime import datetime

from shopboard.base.dates import ago, day
from shopboard.base.near import none_such
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out, say
from shopboard.open_shop import utc_now
from shopboard.web.devices import Device, Devices, NotPairedError, devices_file


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    acts = parser.add_mutually_exclusive_group()
    acts.add_argument(
        "--code", action="store_true", help="a code by which a phone or tablet pairs, good once"
    )
    acts.add_argument(
        "--new",
        metavar="NAME",
        help="let a program in that only reads /glance and /status.json: its secret is printed"
        " once, to be sent as `Authorization: Bearer SECRET`",
    )
    acts.add_argument("--withdraw", metavar="NAME", help="let a device in no more, at once")


def run(options: argparse.Namespace) -> int:
    """List the devices, or do one act."""
    devices = Devices(devices_file(), utc_now)
    now = utc_now()
    if options.code:
        code = devices.new_code()
        out(f"{code.digits[:4]} {code.digits[4:]}")
        until = code.until.astimezone()
        say(f"Type it on the device; good once, until {until:%H:%M:%S}, for {code.tries} tries.")
        say("It lets in to `shopboard serve` on this computer, and on no other.")
    elif options.new is not None:
        try:
            secret = devices.add(options.new, looks_only=True)
        except NotPairedError as error:
            raise UsageError(str(error)) from None
        out(secret)
        say("It reads /glance and /status.json, and no more. It is not shown again: copy it now.")
    elif options.withdraw is not None:
        _withdraw(devices, options.withdraw)
    else:
        found = devices.welcome()
        out(*(_line(one, now) for one in found))
        if not found:
            say(
                "No device is paired with this computer. On the one that runs `shopboard serve`,"
                " `shopboard devices --code` shows a code."
            )
    return 0


def _withdraw(devices: Devices, name: str) -> None:
    found = {one.name.casefold(): one for one in devices.welcome()}
    one = found.get(" ".join(name.split()).casefold())
    if not found:
        raise UsageError("no device is paired with this computer")
    if one is None:
        raise UsageError(none_such("device", name, [each.name for each in found.values()]))
    devices.withdraw(one.id)
    say(f"Withdrawn: {one.name} comes in no more.")


def _line(one: Device, now: datetime) -> str:
    looks = "only looks, " if one.looks_only else ""
    return f"{one.name}: {looks}since {day(one.since)}, seen {ago(one.seen, now)}"
