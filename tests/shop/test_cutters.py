"""Reading cutters: what the shop file may say of them, and what is wrong at its place."""

from __future__ import annotations

import pytest

from shopboard.shop.model import Cutter, Life
from tests.shop.texts import SHOP, load, only_problem, unmark

CUTTER = '[[machine.cutter]]\nid = "b"\nname = "B"\nwhere = "on the machine"\nstate = "sharp"\n'
SECOND = CUTTER.replace('"b"', '"c"').replace('"B"', '"C"')
ON_SHELF = SECOND.replace('"on the machine"', '"on the shelf"')


def cutter(lines: str) -> Cutter:
    """The one cutter of a shop, with further lines."""
    return load(SHOP + CUTTER + lines).shop.machines[0].cutters[0]


def test_only_what_is_needed() -> None:
    assert cutter("") == Cutter("b", "B", "on the machine", "sharp")


def test_everything() -> None:
    lines = 'kind = "knives"\nedges = 2\nedge = 2\nsharpenings = 0\ncost = 42\naway = "2 weeks"\n'
    found = cutter(f'{lines}lasts = "30 hours"\n')
    assert found == Cutter(
        *("b", "B", "on the machine", "sharp", "knives", 2, 2),
        lasts=Life(1800, "minutes", "30 hours"),
        sharpenings=0,
        cost=42.0,
        away_days=14,
    )


@pytest.mark.parametrize(
    ("written", "amount", "unit"),
    [
        ("20 hours", 1200, "minutes"),
        ("1.5 h", 90, "minutes"),
        ("400 cuts", 400, "cuts"),
        ("1 project", 1, "projects"),
        ("2000 ft", 609_600, "mm"),
        ("600 m", 600_000, "mm"),
    ],
)
def test_lasts(written: str, amount: float, unit: str) -> None:
    """An hour is 60 minutes, a foot 304.8 mm."""
    found = cutter(f'lasts = "{written}"\n').lasts
    assert found is not None
    assert found.amount == pytest.approx(amount)
    assert (found.unit, found.typed) == (unit, written)


def test_a_spare_may_stand_before_what_it_is_a_spare_for() -> None:
    text = SHOP + ON_SHELF + 'spare_for = "b"\n' + CUTTER
    assert load(text).shop.machines[0].cutters[0].spare_for == "b"


def test_one_of_each_kind_may_be_on_a_machine() -> None:
    assert load(SHOP + CUTTER + SECOND + 'kind = "bit"\n').warnings == ()


@pytest.mark.parametrize(
    ("lines", "words"),
    [
        ('kind = »"sword"\n', '"blade" or "band" or "knives" or "bit"'),
        ('kind = "knives"\nedges = »5\n', "from 1 to 4"),
        ("»edges = 2\n", 'a second edge belongs to knives: kind = "knives"'),
        ('kind = "knives"\nedges = 2\n»edge = 3\n', "from 1 to 2"),
        ('lasts = »"a while"\n', '"20 hours", "400 cuts"'),
        ('lasts = »"0 hours"\n', "out of range"),
        ('lasts = »"-3 ft"\n', "out of range"),
        ("lasts = »20\n", 'a use such as "20 hours"'),
        ("sharpenings = »-1\n", "from 0 to 1000"),
        ('cost = »"18.50"\n', "write a bare number"),
        ("cost = »-1\n", "from 0 to"),
        ("cost = »nan\n", "out of range"),
        ('away = »"soon"\n', "30 days"),
        ('spare_for = »"b"\n', "a cutter is no spare for itself"),
        (f'spare_for = »"cc"\n{ON_SHELF}', 'did you mean "c"?'),
        (f'{ON_SHELF}kind = "bit"\nspare_for = »"b"\n', "a spare is of the same kind"),
        (SECOND.replace('"on the machine"', '»"on the machine"'), "one of a kind at a time"),
        ('life = "20 hours"\n', "not a key"),
    ],
)
def test_what_is_wrong_is_told_at_its_place(lines: str, words: str) -> None:
    """With what is allowed."""
    marked = SHOP + CUTTER + lines
    if "»" not in marked:
        marked = marked.replace("life =", "»life =")
    text, line, column = unmark(marked)
    problem = only_problem(text)
    assert (problem.line, problem.column) == (line, column)
    assert words in problem.sentence


def test_a_kind_that_undoes_no_check_is_a_warning() -> None:
    """Knives without their kind would leave every check standing when they are changed."""
    text = SHOP + 'undone_by = ["knives changed"]\n' + CUTTER
    (warning,) = load(text).warnings
    assert warning.severity == "warning"
    assert 'putting on a blade is "blade changed", which undoes no check here' in warning.sentence
    assert 'did you mean kind = "knives"?' in warning.sentence
    assert load(text + 'kind = "knives"\n').warnings == ()
    assert load(SHOP + 'undone_by = ["knocked"]\n' + CUTTER).warnings == ()
