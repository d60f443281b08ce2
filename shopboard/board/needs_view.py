"""What a project needs: the misfit of each joint, how true each point must be. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.base.state_words import state_word
from shopboard.board.glyphs import STATE_MARKS
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.metrology.quantity import Unit
from shopboard.prep.joint_fit import JointNeeds
from shopboard.prep.needs_words import (
    STANDS_MARKS,
    at_most_words,
    cancelling_words,
    cost_words,
    date_words,
    fit_mark,
    fit_words,
    joint_words,
    needed_words,
    to_do_words,
)
from shopboard.prep.project_needs import PointNeeds, ProjectNeeds

_STYLES = {"fits": "true", "may not fit": "near", "not proven": "unproven"}


def needs_lines(needs: ProjectNeeds, unit: Unit, width: int) -> list[Line]:
    """Write all of it, as long as it is: the points first, the costliest first; then the joints."""
    day = f"on {date_words(needs.day)}, when it begins" if needs.day else "as of today"
    head = f"How true each point must be, {day}; worst first"
    lines: list[Line] = [((f"  {one}", "bold"),) for one in wrap(head, width - 4)]
    for number, point in enumerate(needs.points, 1):
        lines += _point(number, point, unit, width)
    lines.append(())
    heading = f"What each joint gets; {at_most_words(needs.level)}"
    lines += [((f"  {one}", "bold"),) for one in wrap(heading, width - 4)]
    for joint in needs.joints:
        lines += _joint(joint, unit, width)
        for reason in needs.to_do.get(joint.joint.full_name, ()):
            words = said(f"{reason.words}; {to_do_words(reason)}")
            lines += [
                ((f"    {' ' if at else '→'} {one}", "due"),)
                for at, one in enumerate(wrap(words, width - 8))
            ]
    return [fit(line, width) for line in lines]


def _point(number: int, one: PointNeeds, unit: Unit, width: int) -> list[Line]:
    known = one.known
    digit = (f" {number} ", "key") if number <= 9 else (f" {number}", "")
    state = f"{STATE_MARKS[known.state]} {state_word(known.state)}"
    name = clip(said(known.name), width - 7 - len(state))
    lines: list[Line] = [(digit, (f" {name}  ", "bold"), (state, known.state))]
    style = "near" if one.tighter else ""
    lines += [
        ((f"     {line}", style),) for line in wrap(said(needed_words(one, unit)), width - 7, 2)
    ]
    lines += [((f"     {line}", "dim"),) for line in wrap(said(cost_words(one)), width - 7, 2)]
    return lines


def _joint(one: JointNeeds, unit: Unit, width: int) -> list[Line]:
    joint = one.joint
    mark = f"{STANDS_MARKS[one.stands]} {one.stands}"
    about = f"{said(joint.name)}, {joint_words(joint)}"
    lines: list[Line] = [
        ((f"  {clip(about, width - 6 - len(mark))}  ", "bold"), (mark, _STYLES[one.stands]))
    ]
    for each in one.fits:
        words = f"{fit_mark(each)} {each.effect.words}: {fit_words(each, unit)}"
        first, *others = wrap(words, width - 8, 3)
        lines.append(((f"    {first}", ""),))
        lines += [((f"      {line}", ""),) for line in others]
        lines += [((f"      {line}", "dim"),) for line in wrap(each.effect.note, width - 8, 3)]
    others = [f"? nothing proves the {cut}" for cut in one.missing]
    others += [f"■ {words}" for words in cancelling_words(one)]
    others += [f"? it cannot be worked out: {said(one.refused)}"] if one.refused else []
    lines += [((f"    {line}", ""),) for words in others for line in wrap(words, width - 6, 2)]
    return lines


def page_of(lines: Sequence[Line], first: int, room: int) -> list[Line]:
    """Give the lines from `first` on that fit, the last row telling what is out of sight."""
    if len(lines) <= room:
        return list(lines)
    seen = room - 1
    below = len(lines) - first - seen
    words = "  ".join(
        ([f"▲ {first} lines"] if first else []) + ([f"▼ {below} lines"] if below > 0 else [])
    )
    return [*lines[first : first + seen], ((f"  {words}", "dim"),)]
