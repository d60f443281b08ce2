"""The safety round as plain lines: what is seen, one question after the other."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.checks.steps import AnswerError, Choice
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out, prompt, say
from shopboard.commands.shared import no_such, open_desk
from shopboard.open_shop import Desk
from shopboard.sittings.safety_round import Round, round_of
from shopboard.upkeep.safety_record import DO_NOT_USE, RoundStanding, round_words

_HELP = "back: one question back   leave: stop here, go on later"


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "machine",
        metavar="MACHINE",
        nargs="?",
        help="only this one; without: the shop, then each machine not walked lately",
    )
    parser.add_argument("--list", action="store_true", help="print what is on record, ask nothing")


def run(options: argparse.Namespace) -> int:
    """Walk the round."""
    with closing(open_desk(options, records=not options.list)) as desk:
        chosen = options.machine
        asked = ["", *(one.id for one in desk.shop.machines if one.has_round)]
        if chosen is not None and chosen not in desk.shop.machines_by_id:
            raise no_such("machine", chosen, desk.shop.machines_by_id)
        if chosen is not None and chosen not in asked:
            raise UsageError(
                f"{chosen} has no cutter; [[machine.safety]] in the shop file gives it questions"
            )
        if options.list:
            _list(desk, asked if chosen is None else [chosen])
            return 0
        say(_HELP)
        for machine in asked if chosen is None else [chosen]:
            before = _standing(desk, machine)
            if chosen is None and before is not None and before.lately(desk.now()):
                continue
            if not _walk(round_of(desk.shop, machine, desk.now(), desk.journal)):
                say("", "Left. `shopboard round` goes on with it.")
                return 0
    return 0


def _standing(desk: Desk, machine: str) -> RoundStanding | None:
    of_machine = desk.standing.of_machine(machine)
    return desk.standing.round if of_machine is None else of_machine.round


def _list(desk: Desk, machines: list[str]) -> None:
    for machine in machines:
        of_machine = desk.standing.of_machine(machine)
        tag = f"{DO_NOT_USE}: {of_machine.tag}; " if of_machine and of_machine.tag else ""
        words = round_words(_standing(desk, machine), desk.now())
        out(f"{machine or 'shop':<16} {tag}{words}")


def _walk(walked: Round) -> bool:
    """Ask to the end; False when it is left."""
    out("", f"{walked.name}{f' - {DO_NOT_USE}: {walked.tag}' if walked.tag else ''}")
    if walked.resumed:
        say(f"Going on at question {walked.number} of the round begun earlier.")
    while (step := walked.step) is not None:
        _show(step, walked)
        line = prompt("> ")
        if not line or line.strip() == "leave":
            return False
        try:
            if line.strip() == "back":
                walked.back()
            else:
                walked.answer(line)
        except AnswerError as error:
            say(f"! {error}")
    out("", f"{walked.name}: {walked.summary}")
    return True


def _show(step: Choice, walked: Round) -> None:
    out("", f"{walked.number} of {len(walked.questions)}. {step.title}")
    out(*(f"   {line}" for line in step.lines))
    for number, option in enumerate(step.options, 1):
        default = "  (Enter)" if option.value == step.default else ""
        out(f"   {number}  {option.label}{default}")
