"""Each step and result of each method as it is drawn: answers in fixed rows, nothing cut."""

from __future__ import annotations

import random
import re
from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from shopboard.board.check_view import ANSWER_ROWS, step_lines
from shopboard.board.paint import plain, width_of
from shopboard.checks import registry
from shopboard.checks.job import CheckContext
from shopboard.checks.steps import Choice, Finding, Step
from shopboard.checks.told import number_words
from shopboard.checks.walk import Walk, walk
from shopboard.demo.checking import _job
from shopboard.demo.person import Doing
from shopboard.demo.world import begin
from shopboard.journal.in_one_go import MadeUpJournal
from shopboard.journal.kinds import MadeUp
from shopboard.shop.watched import WatchedShop
from tests.demo.test_every_method import shop_text

SIZES = [(80, 24), (120, 36), (160, 48)]
SEEDS = (3, 4)
"""Of made-up machines: what they are off by differs."""


@dataclass(frozen=True)
class Asked:
    """A step as somebody comes to it."""

    method: str
    job: CheckContext
    step: Step
    before: Sequence[tuple[Step, str]]


@pytest.fixture(scope="module")
def asked(tmp_path_factory: pytest.TempPathFactory) -> list[Asked]:
    """Every step of every method, corrections among them."""
    return [one for seed in SEEDS for one in _walks(tmp_path_factory.mktemp("all"), seed)]


def _walks(folder: Path, seed: int) -> Iterator[Asked]:
    file, now = folder / "shop.toml", datetime(2026, 1, 1, tzinfo=UTC)
    file.write_text(shop_text(), encoding="utf-8")
    shop = WatchedShop(file, thorough=True).shop
    with closing(MadeUpJournal(folder / "j", lambda: now, MadeUp(0, "", ""))) as journal:
        world = begin(shop, random.Random(seed), now)
        world.write_in(journal)
        for name, point in shop.points.items():
            method, job = registry.method(point.checks[0]), _job(world, point, None)
            job = job._replace(cutter_near=True)
            doing = Doing(point.checks[0], job, world.truths[name], world.tools, world.rng)
            answers: dict[str, str] = {}
            stands: Walk = walk(method, job, answers)
            while stands.step is not None:
                yield Asked(method.name, job, stands.step, stands.answered)
                answers[stands.step.key] = doing.answer(stands.step)
                stands = walk(method, job, answers, after=stands)


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_answers_stand_in_the_same_rows_of_every_step(
    asked: list[Asked], size: tuple[int, int]
) -> None:
    """A finger finds them where they were; a free row is between them and a drawing."""
    room = size[1] - 3
    assert len({one.method for one in asked}) == len(registry.names())
    for one in asked:
        lines = step_lines(one.step, one.before, one.job, "", (size[0], room))
        begins = room - ANSWER_ROWS
        for number, option in enumerate(getattr(one.step, "options", ()), begins):
            assert option.label[: size[0] - 14] in plain(lines[number]), one.step.key
        if not isinstance(one.step, Choice):
            assert plain(lines[begins]).strip().startswith(("Enter", ">"))
        assert not one.step.diagram or not plain(lines[begins - 1]).strip(), one.step.key


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_nothing_of_a_step_is_cut(asked: list[Asked], size: tuple[int, int]) -> None:
    """Every word of title and lines, and the whole drawing, at each size."""
    for one in asked:
        lines = step_lines(one.step, one.before, one.job, "", (size[0], size[1] - 3))
        assert {width_of(line) for line in lines} == {size[0]}
        text = " ".join(plain(line) for line in lines)
        if not isinstance(one.step, Finding):
            drawings = (one.step.diagram, one.step.large)
            assert any(all(row.strip() in text for row in rows) for rows in drawings), one.step.key
        for word in " ".join(one.step.lines).split():
            assert word in text or size[0] > 110, (one.step.key, word)
        assert "…" not in text.partition("before:")[0]


NARROW = [(60, 20), (60, 21), (60, 24), (66, 22), (70, 24), (60, 40), (100, 40)]
"""As on a phone's page, or beside another program."""


@pytest.mark.parametrize("size", [*NARROW, *SIZES], ids=str)
def test_no_number_of_a_result_is_cut(asked: list[Asked], size: tuple[int, int]) -> None:
    """It stands there to the end of its unit; else nothing of it does, and where it is said."""
    for one in asked:
        if not isinstance(one.step, Finding):
            continue
        lines = step_lines(one.step, one.before, one.job, "", (size[0], size[1] - 3))
        text = " ".join(" ".join(map(plain, lines)).split())
        for row in number_words(one.step.outcome, one.job.unit):
            for piece in re.split(r" {3,}", row.strip()):
                words = " ".join(piece.split())
                is_cut = words not in text and ("w: the rest" not in text or words[:-2] in text)
                assert not is_cut, (one.method, words, text)


@pytest.mark.parametrize("size", SIZES, ids=str)
def test_a_result_says_all_it_has_to(asked: list[Asked], size: tuple[int, int]) -> None:
    """Or says where the rest is."""
    found = [one for one in asked if isinstance(one.step, Finding)]
    assert {one.method for one in found} == {*registry.names()}
    for one in found:
        lines = step_lines(one.step, one.before, one.job, "", (size[0], size[1] - 3))
        text = " ".join(plain(line) for line in lines)
        assert isinstance(one.step, Finding)
        if one.step.outcome.tolerance is not None and one.step.outcome.estimate.budget.u:
            assert "●" in text or "w: the rest" in text
        for word in one.step.outcome.note.split():
            assert word in text or "w: the rest" in text


def test_on_a_small_screen_a_result_has_its_drawing_and_loses_no_word(asked: list[Asked]) -> None:
    """All of it, row by row in one place, or none of it; beside it stands all that is said else."""
    shown = 0
    found = [one for one in asked if isinstance(one.step, Finding) and one.step.diagram]
    for one in found:
        bare = replace(one.step, drawing=None)
        with_it, without = (
            [plain(line) for line in step_lines(step, one.before, one.job, "", (80, 21))]
            for step in (one.step, bare)
        )
        rows = [row.rstrip() for row in one.step.diagram]
        column = next((line.index(rows[-1]) for line in with_it if rows[-1] in line), 0)
        if not column:
            assert with_it == without, one.step.key
            continue
        shown += 1
        cells = [line[column:].rstrip() for line in with_it]
        last = max(at for at, row in enumerate(cells) if row == rows[-1])
        assert cells[last + 1 - len(rows) : last + 1] == rows
        lost = {*" ".join(without).split()} - {*" ".join(with_it).split()}
        assert not [word for word in lost if any(map(str.isalpha, word))], one.step.key
    assert shown > len(found) * 2 / 3, (shown, len(found))
