"""Tasks in the shop file: rules, happenings, steps with waits; every problem at its place."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.checks.registry import names
from shopboard.shop.machine import HAPPENINGS, Task, TaskStep
from shopboard.shop.problems import ShopFileError
from shopboard.shop.reader import read_shop
from tests.shop.texts import SHOP, load, only_problem, problems_of, unmark
from tests.whole_shop import WHOLE_SHOP

TASK = '\n[[machine.task]]\nid = "wax"\nname = "Wax"\n'


def task(keys: str) -> Task:
    """Read the one task of the small shop with these keys."""
    loaded = load(SHOP + TASK + keys)
    assert loaded.warnings == ()
    return loaded.shop.machines[0].tasks[0]


@pytest.mark.parametrize(
    ("every", "rules", "words"),
    [
        ('"4 weeks"', (28, None, None), "4 weeks"),
        ('"40 hours"', (None, 2400, None), "40 hours"),
        ('"1 hour"', (None, 60, None), "1 hour"),
        ('"2.5h"', (None, 150, None), "2.5h"),
        ('"3 projects"', (None, None, 3), "3 projects"),
        (
            '["4 weeks", "40 hours", "2 projects"]',
            (28, 2400, 2),
            "4 weeks or 40 hours or 2 projects",
        ),
        ('["2 months", "3 Weeks"]', (21, None, None), "2 months or 3 Weeks"),
        ('["30 hours", "20 hours"]', (None, 1200, None), "30 hours or 20 hours"),
    ],
)
def test_rules(every: str, rules: tuple[int | None, ...], words: str) -> None:
    """One or several; of a kind the one that comes first."""
    read = task(f"every = {every}\n")
    assert (read.every_days, read.every_minutes, read.every_projects) == rules
    assert read.every == words


def test_happenings_caution_and_nothing() -> None:
    """One happening or a list; without any rule, when needed."""
    assert task('after = "blade changed"\n').after == ("blade changed",)
    assert task(f"after = {list(HAPPENINGS)}\n").after == HAPPENINGS
    assert task("cutter_near = true\n").cutter_near
    assert task("") == Task("wax", "Wax", leaves="wax")


@pytest.mark.parametrize(
    ("words", "step"),
    [
        ("Buff", TaskStep("Buff")),
        ("Soak, wait 10 min", TaskStep("Soak", 10)),
        ("Soak; wait 10 minutes.", TaskStep("Soak", 10)),
        ("Soak. Wait 1.5 h", TaskStep("Soak", 90)),
        ("Soak wait 2h30", TaskStep("Soak", 150)),
        ("Wait 20 min", TaskStep("Wait", 20)),
        ("Wax on, thin, wait 10 min", TaskStep("Wax on, thin", 10)),
        ("Wait for the haze", TaskStep("Wait for the haze")),
        ("Let it dry, do not wait too long", TaskStep("Let it dry, do not wait too long")),
    ],
)
def test_steps_and_waits(words: str, step: TaskStep) -> None:
    """A wait stands at the end, with its time; words that only speak of waiting are words."""
    assert task(f'steps = ["{words}"]\n').steps == (step,)


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        ('every = »"soon"', '"soon" is not a rule; write a rule such as "4 weeks", "40 hours"'),
        ('every = »"400 cuts"', "cuts make no task due"),
        ("every = »40", '40 of what? write a rule such as "4 weeks"'),
        ('every = »"2.5 projects"', "not a whole number of projects"),
        ('every = »"0 hours"', "out of range; more than 0, up to 10,000"),
        ('every = »"99999 hours"', "out of range"),
        ('every = »"900 weeks"', "from 1 day to 10 years"),
        ("every = »[]", "an empty list; write at least one"),
        ('every = ["4 weeks", »"40"]', '"40" is not a rule'),
        ("every = »true", "true where a rule"),
        ('after = »"blade chnged"', 'did you mean "blade changed"?'),
        ('after = »"hours run"', '"hours run" is not known here'),
        ("steps = »[]", "an empty list"),
        ("steps = »3", "a step such as"),
        ('steps = ["Wipe", »3]', "a step such as"),
        ('steps = [»"Soak, wait 10 m"]', "not a wait: unknown unit 'm'"),
        ('steps = [»"Soak, wait 0 min"]', "not a wait: it must be more than 0"),
        ('steps = [»"Soak, wait 169 h"]', "waits too long; up to 168 h"),
        (f'steps = [»"{"x" * 121}"]', "121 characters; at most 120"),
        ('cutter_near = »"yes"', "write true, without quotes"),
        ('»step = ["Wipe"]', 'did you mean "steps"?'),
        ('leaves = »"dirty"', 'did you mean "dirt"?'),
        ("leaves = »false", '"nothing" or "dirt" or "wax"'),
        ('undoes = »"hone"', 'there is no task "hone" on this machine'),
        ('undoes = »"wax"', "a task does not undo itself"),
        ('steps = [{ do = "Off", cutter = »"of" }]', 'did you mean "off"?'),
        ('steps = [{ do = "Off", »cuter = "off" }]', 'did you mean "cutter"?'),
        ('steps = [{ do = "Off", »cutter = "off" }]', "write cutter_near = true in the task"),
        ('steps = [»{ wait = "5 min" }]', "do is missing in [[machine.task.steps]]"),
        ('steps = [{ do = "Soak", wait = »"10 m" }]', "is not a wait: unknown unit 'm'"),
        ('steps = [{ do = "Soak", wait = »"169 h" }]', "too long a wait; up to 168 h"),
        ('steps = [{ do = »"" }]', "nothing between the quotes"),
    ],
)
def test_what_cannot_be_is_refused_at_its_place(keys: str, says: str) -> None:
    """With what is allowed, and what was probably meant."""
    text, line, column = unmark(f"{SHOP}{TASK}{keys}\n")
    problem = only_problem(text)
    assert (problem.line, problem.column) == (line, column)
    assert says in problem.sentence


@pytest.mark.parametrize(
    ("words", "moves"),
    [
        (("Blade off, into the tub", "Soak", "Blade on, nut tight"), ("off", "stays", "on")),
        (
            ("Open the doors", "Take the band off", "Brush", "Put the band back", "Track it"),
            ("stays", "off", "stays", "on", "stays"),
        ),
        (("Knives out", "Hone them"), ("off", "stays")),
        (("Wipe the table clean", "Buff off the haze"), ("stays", "stays")),
        (("Brush dust off", "Set the guard on"), ("stays", "stays")),
    ],
)
def test_where_no_key_says_it_english_words_tell_when_the_cutter_is_out(
    words: tuple[str, ...], moves: tuple[str, ...]
) -> None:
    """As they did before there were keys; where no cutter is near, none comes off."""
    steps = "steps = [" + ", ".join(f'"{one}"' for one in words) + "]\n"
    near = task(f"cutter_near = true\n{steps}").steps
    assert tuple(one.cutter for one in near) == moves
    assert {one.cutter for one in task(steps).steps} == {"stays"}


@pytest.mark.parametrize(
    ("name", "leaves"),
    [
        ("Empty the dust box", "dirt"),
        ("Clean and wax the table", "wax"),
        ("Oil the ways", "wax"),
        ("Look at the belts", "nothing"),
    ],
)
def test_where_no_key_says_it_english_words_tell_what_it_leaves(name: str, leaves: str) -> None:
    found = load(f'{SHOP}\n[[machine.task]]\nid = "t"\nname = "{name}"\n').shop
    assert found.machines[0].tasks[0].leaves == leaves
    told = load(f'{SHOP}\n[[machine.task]]\nid = "t"\nname = "{name}"\nleaves = "dirt"\n').shop
    assert told.machines[0].tasks[0].leaves == "dirt"


def test_a_step_in_braces_is_the_same_as_one_in_words() -> None:
    said = task('steps = ["Soak, wait 10 min", "Buff"]\n').steps
    assert task('steps = [{ do = "Soak", wait = "10 min" }, { do = "Buff" }]\n').steps == said
    whole = load(f'{SHOP}{TASK}steps = [{{ do = "Soak", wait = 10 }}]').warnings
    assert "did you mean" in whole[0].sentence


@given(st.text(max_size=40))
def test_any_text_is_a_rule_and_a_step_or_a_problem(text: str) -> None:
    """Never a failure of the program."""
    quoted = (
        text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\r", "\\r")
    )
    for keys in (f'every = "{quoted}"', f'steps = ["{quoted}"]'):
        try:
            read = load(f"{SHOP}{TASK}{keys}\n").shop.machines[0].tasks[0]
        except ShopFileError:
            assert problems_of(f"{SHOP}{TASK}{keys}\n")
            continue
        assert read.steps or read.every


def test_the_whole_shop_has_every_sort_of_task() -> None:
    """Rules of each kind and several at once, a happening, waits, a caution, a bench by itself."""
    shop = read_shop(WHOLE_SHOP, names()).shop
    tasks = [one for machine in shop.machines for one in machine.tasks]
    assert any(one.every_days for one in tasks)
    assert any(one.every_minutes for one in tasks)
    assert any(one.every_projects for one in tasks)
    assert any(" or " in one.every for one in tasks)
    assert any(one.after for one in tasks)
    assert any(one.cutter_near for one in tasks)
    assert any(step.wait_minutes for one in tasks for step in one.steps)
    assert any(not machine.points and machine.tasks for machine in shop.machines)
