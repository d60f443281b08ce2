"""The blank file of answers of a check: every name that it can ask for, with what is allowed."""

from __future__ import annotations

import json

from shopboard.checks import registry
from shopboard.checks.blank import AskedStep, questions
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.mean_of_sets import MOST_SETS
from shopboard.checks.steps import Do, Number
from shopboard.commands.answers_file import in_file
from shopboard.commands.check_from_file import allowed_words
from shopboard.commands.output import out
from shopboard.metrology.units import by_unit
from shopboard.open_shop import OpenShop
from shopboard.shop.machine import Point
from shopboard.sittings.point_job import job_for
from shopboard.upkeep.tags import standing_tag, tag_caution


def blank_answers(open_shop: OpenShop, point: Point, method: str) -> int:
    """Print it; nothing is recorded.

    Raises:
        NotPossibleError: when the shop lacks what the check needs.
    """
    way, job = registry.method(method), job_for(open_shop.shop, point, open_shop.journal)
    asked = questions(way, job)
    why = standing_tag(point.machine, open_shop.journal)
    tag = (AskedStep(tag_caution(why), always=True, after_correction=False),) if why else ()
    out(
        f"# Answers for {point.full_name} by {method}: write them between the quotes.",
        "# A line that begins with # need not be given; take off its # where it is asked.",
        "",
    )
    out(*(_line(one) for one in (*tag, *asked) if not one.after_correction))
    if isinstance(way, GuidedCheck) and way.reads_again:
        out(
            "",
            '# To take the readings again: repeat1 = "yes", and the readings in a table [again2],',
            f'# then repeat2 = "yes" and [again3], {MOST_SETS} sets at the most.',
            '# To read again what contradicts: doubt1 = "again", those readings in [reread1];',
            '# then doubt2 and [reread2]. Where they are right, if unlikely: doubt1 = "keep".',
            '# To read a set again that is out of line with the others: apart1 = "again", its',
            '# readings in [retake1]; then apart2 and [retake2]. If right: apart1 = "keep".',
        )
    if any(one.after_correction for one in asked):
        out(
            "",
            '# After next = "adjust" above; after one more correction in [as_left2], and so on.',
            "# [as_left]",
        )
        out(*(_line(one) for one in asked if one.after_correction))
    if any(isinstance(one.step, Number) and one.step.is_turns for one in asked):
        out(
            '# Where it was turned so much more or less than advised: turned_sure1 = "keep",',
            '# and that is taken as it is. If it was not: turned_sure1 = "again", and turned_by2.',
        )
    return 0


def _line(one: AskedStep) -> str:
    """Write one answer: as a remark where it need not be given, or is not always asked."""
    step = one.step
    given = step.unasked if step.assumed is None else step.assumed
    needed = one.always and given is None and not one.after_correction
    name, said = step.key, step.title
    if one.after_correction:
        name = in_file(step.key).removeprefix(in_file("left."))
    allowed = allowed_words(step)
    if isinstance(step, Number) and step.is_turns:
        given, allowed = "", "in turns; left out: as far as advised"
    elif isinstance(step, Number) and not step.plain:
        allowed = f"{allowed}; a bare number is {by_unit(step.unit, 'inches', 'mm')}"
    said = f"{said} ({allowed})" if allowed else said
    only = "" if one.always or isinstance(step, Do) else "only if asked: "
    return f"{'' if needed else '# '}{name} = {json.dumps(given or '')}  # {only}{said}"
