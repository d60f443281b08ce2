"""The daily safety walk as plain lines: what is seen, one question after the other."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.checks.steps import AnswerError, Choice, NoSuchAnswerError
from shopboard.commands.check_plain import answering
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out, prompt, say
from shopboard.commands.shared import no_such, shop_opened
from shopboard.open_shop import OpenShop
from shopboard.sittings.safety_round import RoundSitting, round_of
from shopboard.upkeep.safety_record import DO_NOT_USE, RoundStanding, round_words

_HELP = "back: one question back   leave: stop here, go on later"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "machine",
        metavar="MACHINE",
        nargs="?",
        help="this one alone; left out: the shop, then each machine not walked lately",
    )
    parser.add_argument("--list", action="store_true", help="print what is on record, ask nothing")


def run(options: argparse.Namespace) -> int:
    """Walk the round."""
    with closing(shop_opened(options, records=not options.list)) as open_shop:
        chosen = options.machine
        asked = ["", *(one.id for one in open_shop.shop.machines if one.has_round)]
        if chosen is not None and chosen not in open_shop.shop.machines_by_id:
            raise no_such("machine", chosen, open_shop.shop.machines_by_id)
        if chosen is not None and chosen not in asked:
            raise UsageError(
                f"no cutter of {chosen} is told; [[machine.cutter]] or [[machine.safety]]"
                " in the shop file gives it a walk"
            )
        if options.list:
            _list(open_shop, asked if chosen is None else [chosen])
            return 0
        say(_HELP)
        for machine in asked if chosen is None else [chosen]:
            before = _standing(open_shop, machine)
            if chosen is None and before is not None and before.lately(open_shop.now()):
                continue
            if not _walk(round_of(open_shop.shop, machine, open_shop.now(), open_shop.journal)):
                say("", "Left. `shopboard walk` goes on with it.")
                return 0
    return 0


def _standing(open_shop: OpenShop, machine: str) -> RoundStanding | None:
    of_machine = open_shop.standing.of_machine(machine)
    return open_shop.standing.round if of_machine is None else of_machine.round


def _list(open_shop: OpenShop, machines: list[str]) -> None:
    for machine in machines:
        of_machine = open_shop.standing.of_machine(machine)
        tag = f"{DO_NOT_USE}: {of_machine.tag}; " if of_machine and of_machine.tag else ""
        words = round_words(_standing(open_shop, machine), open_shop.now())
        out(f"{machine or 'shop':<16} {tag}{words}")


def _walk(sitting: RoundSitting) -> bool:
    """Ask to the end; False when it is left."""
    out("", f"{sitting.name}{f' - {DO_NOT_USE}: {sitting.tag}' if sitting.tag else ''}")
    if sitting.resumed:
        say(f"Going on at question {sitting.number} of the walk begun earlier.")
    while (step := sitting.step) is not None:
        _show(step, sitting)
        line = prompt("> ")
        if not line or line.strip() == "leave":
            return False
        try:
            with answering(sitting, "shopboard walk"):
                if line.strip() == "back":
                    sitting.back()
                else:
                    sitting.answer(line)
        except NoSuchAnswerError as error:
            say(f"! {error.numbers}")
        except AnswerError as error:
            say(f"! {error}")
    out("", f"{sitting.name}: {sitting.summary}")
    return True


def _show(step: Choice, sitting: RoundSitting) -> None:
    out("", f"{sitting.number} of {len(sitting.questions)}. {step.title}")
    out(*(f"   {line}" for line in step.lines))
    for number, option in enumerate(step.options, 1):
        default = "  (Enter)" if option.value == step.default else ""
        out(f"   {number}  {option.label}{default}")
