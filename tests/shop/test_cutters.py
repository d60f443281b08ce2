"""Reading cutters: what the shop file may say of them, and what is wrong at its place."""

from __future__ import annotations

import pytest

from shopboard.shop.machine import Cutter, Life
from tests.shop.texts import ANOTHER_POINT, SHOP, load, only_problem, unmark

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
        ('kind = "gouge"\nlike = »"chisel"\n', '"blade" or "band" or "knives" or "bit" or "hand'),
        ('kind = "bit"\nlike = »"blade"\n', "leave like out"),
        ('kind = "iron"\nlike = "hand tool"\n»edges = 2\n', 'belongs to knives: like = "knives"'),
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


def test_a_kind_of_one_s_own_says_by_a_key_how_it_is_changed() -> None:
    """Its word decides nothing: what a change of it undoes goes by what it is like."""
    found = cutter('kind = "Bandsägeblatt"\nlike = "band"\n')
    assert (found.kind, found.like, found.sort) == ("Bandsägeblatt", "band", "band")
    text = SHOP + 'undone_by = ["blade changed"]\n' + CUTTER
    assert load(f'{text}kind = "Sägeblatt"\nlike = "blade"\n').warnings == ()
    (warning,) = load(f'{text}kind = "Messer"\nlike = "knives"\n').warnings
    assert 'putting on a Messer is "knives changed", which undoes no check' in warning.sentence
    problem = only_problem(SHOP + CUTTER + 'kind = "knifes"\n')
    assert "like is missing" in problem.sentence
    assert 'did you mean "knives"?' in problem.sentence


def test_of_hand_tools_of_one_kind_several_are_in_use() -> None:
    lines = 'kind = "gouge"\nlike = "hand tool"\n'
    assert load(SHOP + CUTTER + lines + SECOND + lines).warnings == ()
    other = lines.replace("hand tool", "bit")
    problem = only_problem(SHOP + CUTTER + lines + SECOND + other)
    assert '"B", of the same kind, is changed like a hand tool' in problem.sentence


def test_a_kind_that_undoes_no_check_is_a_warning() -> None:
    """Knives without their kind would leave every check standing when they are changed."""
    text = SHOP + 'undone_by = ["knives changed"]\n' + CUTTER
    (warning,) = load(text).warnings
    assert warning.severity == "warning"
    assert 'putting on a blade is "blade changed", which undoes no check here' in warning.sentence
    assert 'did you mean kind = "knives"?' in warning.sentence
    assert load(text + 'kind = "knives"\n').warnings == ()
    assert load(SHOP + 'undone_by = ["knocked"]\n' + CUTTER).warnings == ()


MODES = ("top", "combination"), ("under", "combination"), ("shed", "other"), ("bank", "other")
KNIVES = CUTTER + 'kind = "knives"\n'


def modes(top: str, under: str = "", *, one_body: bool = False) -> str:
    """A shop with two machines of two modes each, or one of four; some with more lines."""
    more = {"top": top, "under": under}
    text = SHOP
    for ident, body in MODES:
        body = "combination" if one_body else body
        text += f'\n[[machine]]\nid = "{ident}"\nname = "{ident.capitalize()}"\n'
        text += f'body = "{body}"\n[[machine.task]]\nid = "oil"\nname = "Oil it"\n'
        text += more.get(ident, "")
    return text


@pytest.mark.parametrize("written", ['"under"', '["under"]', '["top", "under"]'])
def test_a_cutter_serves_another_mode(written: str) -> None:
    """Its own mode goes without saying."""
    shop = load(modes(f"{KNIVES}serves = {written}\n")).shop
    assert [one.id for one in shop.cutters_at("under")] == ["b"]
    assert shop.reached["under"]["knives turned"] == ("top",)
    assert shop.reached["top"]["knives changed"] == ("under",)


@pytest.mark.parametrize(
    ("serves", "under", "said"),
    [
        ('"undr"', "", 'there is no machine "undr"; its other modes: under; did you mean "under"?'),
        ('"shed"', "", '"shed" is not a mode of "combination"; its other modes: under'),
        ('["under", "bank"]', "", '"bank" is not a mode of "combination"; its other modes: under'),
        ('"under"', KNIVES, '"Under" has "B", which goes in the same place; write it under "Top"'),
        ("[]", "", "an empty list; write at least one"),
    ],
)
def test_what_it_cannot_serve_is_said_at_its_place(serves: str, under: str, said: str) -> None:
    problem = only_problem(modes(f"{KNIVES}serves = {serves}\n", under))
    assert said in problem.sentence
    assert problem.source_line.startswith("serves = ")


def test_a_machine_that_stands_alone_has_no_modes_to_serve() -> None:
    alone = f"{SHOP}{CUTTER}serves = "
    bodies = modes("").removeprefix(SHOP)
    assert "leave serves out" in only_problem(f'{alone}"other"\n{bodies}').sentence
    assert "not a mode of a combination machine" in only_problem(f'{alone}"top"\n{bodies}').what


def test_two_of_a_kind_say_the_same_or_one_of_them_nothing() -> None:
    """They go in one place, one at a time."""
    second = KNIVES.replace('"b"', '"c"').replace('"on the machine"', '"on the shelf"')
    shop = load(modes(f'{KNIVES}{second}serves = "under"\n')).shop
    assert [one.id for one in shop.cutters_at("under")] == ["b", "c"]
    both = f'{KNIVES}serves = "under"\n{second}serves = "shed"\n'
    assert "of the same kind, serves others" in only_problem(modes(both, one_body=True)).what


def test_a_mode_whose_point_a_change_undoes_asks_whose_cutter_is_there() -> None:
    """A warning: the knives that are written under one mode probably cut in the other."""
    point = ANOTHER_POINT + 'undone_by = ["knives turned"]\n'
    (warning,) = load(modes(KNIVES, point)).warnings
    assert '"knives turned" undoes a point of "Under", where none is' in warning.what
    assert 'serves = ["under"]' in warning.hint
    assert load(modes(f'{KNIVES}serves = "under"\n', point)).warnings == ()
