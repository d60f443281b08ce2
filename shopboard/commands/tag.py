"""Tag a machine as not to be used, or clear its tag; both with a reason that stays on record."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.base.dates import ago
from shopboard.commands.acts import act, another, found, say_on_record, uid_argument
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out, say
from shopboard.commands.shared import no_such, shop_opened
from shopboard.journal import kinds
from shopboard.open_shop import OpenShop
from shopboard.upkeep.safety_record import DO_NOT_USE, tag_words
from shopboard.upkeep.standing_tags import in_one, standing_tags, told_of
from shopboard.upkeep.tags import clear_tag, newest_tags, record_tag, standing_tag, why_not_off


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("machine", metavar="MACHINE")
    parser.add_argument(
        "why",
        metavar="WHY",
        nargs="*",
        default=[],
        help="why it is out of use; left out: what its tag says",
    )
    parser.add_argument("--clear", metavar="REASON", help="clear the tag: what was fixed")
    uid_argument(parser)


def run(options: argparse.Namespace) -> int:
    """Tag one machine, or clear it."""
    with (
        act(options, _not_so(options), records=_records(options)) as uid,
        closing(shop_opened(options, records=_records(options))) as open_shop,
    ):
        if options.machine not in open_shop.shop.machines_by_id:
            raise no_such("machine", options.machine, open_shop.shop.machines_by_id)
        name = open_shop.shop.machines_by_id[options.machine].name
        why = " ".join(options.why)
        if options.clear is not None and why:
            raise UsageError("either tag it or clear it, not both")
        before = found(open_shop, options, kinds.TAG.name, options.machine, "")
        if before is not None:
            words = " ".join((why if options.clear is None else options.clear).split())
            if kinds.TAG.read(before)[:2] != (bool(why), words):
                raise another(options)
            say_on_record(before)
            return 0
        if options.clear is not None:
            why_not = why_not_off(open_shop.shop, open_shop.who())
            done = clear_tag(options.machine, options.clear, open_shop.journal, uid, why_not)
            off = [*(kinds.TAG.read(done).off or {}).values()]
            taken = f"{len(off)} tags are" if off[1:] else "the tag is"
            say(f"{name}: {taken} cleared{': ' if off else ''}{'; '.join(off)}.")
            if left := standing_tag(options.machine, open_shop.journal):
                say(f"It stays {DO_NOT_USE}, for what came meanwhile: {left}.")
        elif options.why:
            already = standing_tag(options.machine, open_shop.journal)
            record_tag(options.machine, why, open_shop.journal, uid)
            if already:
                say(f"{name}: tagged {DO_NOT_USE} for this, too. On it already: {already}.")
            else:
                say(f"{name}: tagged {DO_NOT_USE}. --clear REASON takes the tag off.")
        else:
            _show(open_shop, options.machine)
    return 0


def _records(options: argparse.Namespace) -> bool:
    return bool(options.why or options.clear)


def _not_so(options: argparse.Namespace) -> str:
    """Say what is not so where nothing was recorded."""
    if options.clear is not None:
        return f"the tag of {options.machine} is NOT taken off"
    return f"the tag is NOT on {options.machine}"


def _show(open_shop: OpenShop, machine_id: str) -> None:
    """Print tags and clearings, newest first."""
    stand = standing_tags(machine_id, open_shop.journal)
    past = newest_tags(machine_id, open_shop.journal, 200)
    if not past:
        say("No tag on record.")
    if stand:
        out(f"{DO_NOT_USE} now: {in_one(stand)}.")
    elif why := standing_tag(machine_id, open_shop.journal):
        out(f"{DO_NOT_USE}: {why}. Look at it; then tag it with its words, or --clear REASON.")
    for entry in past:
        tag = tag_words(entry)
        words = f"{DO_NOT_USE}: {tag}" if tag else f"cleared: {told_of(entry)}"
        local = f"{entry.when.astimezone():%Y-%m-%d %H:%M}"
        out(f"{local}  {ago(entry.when, open_shop.now()):<16} {words}")
