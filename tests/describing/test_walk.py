"""Whatever is answered, a shop file comes out that the shop's own reader takes as it is."""

from __future__ import annotations

import random
from contextlib import suppress
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.checks import registry
from shopboard.checks.steps import AnswerError
from shopboard.describing.asked import Look, Ticks, Typed
from shopboard.describing.chosen import Described
from shopboard.describing.draft import Reply
from shopboard.describing.here import Here
from shopboard.describing.reading import file_text
from shopboard.describing.talk import Stand, follow, still_asked
from shopboard.metrology.adjuster import Screw
from shopboard.shop.model import Shop
from shopboard.shop.reader import read_shop_text
from shopboard.usual.lookup import KINDS, machine
from tests.describing.person import DAY, INCH, MM, answered, any_answer, beginning, reply
from tests.in_turn import in_turn

HERE = {"inch": INCH, "mm": MM}


def made(stand: Stand, *, odd: bool = False) -> tuple[Described, Shop]:
    """Give what was told, and the shop as its reader reads it.

    Nothing in it is even odd, unless it may be: a point is ticked that no tool of the shop proves.
    """
    told = stand.result
    assert isinstance(told, Described)
    read = read_shop_text(file_text(told), "shop.toml", registry.names(), registry.facts())
    assert odd or read.warnings == ()
    return told, read.shop


@pytest.mark.parametrize(("kind", "unit"), in_turn([kind for kind in KINDS if kind], [*HERE]))
def test_enter_alone_describes_each_sort_of_machine(kind: str, unit: str) -> None:
    stand, _ = answered({"machines": kind}, HERE[unit])
    told, shop = made(stand)
    assert shop.unit == unit
    one = shop.machines[0]
    assert (one.kind, one.name) == (kind, machine(kind).name)
    assert one.tasks
    done = {(each.machine, each.task) for each in told.done}
    assert done == {(one.id, task.id) for task in one.tasks}, "nothing starts red"
    assert {each.day for each in told.done} <= {DAY}


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind])
def test_each_thing_that_sets_a_point_can_be_told(kind: str) -> None:
    """As far as is usual for that sort of machine; each with its thread, arm and way to turn."""
    usual = machine(kind)
    everything = ",".join(one.id for one in usual.points) or "none"
    for sort in ("screw", "slot", "shim"):
        chosen = [one for one in usual.points if sort in one.sets]
        known: dict[str, str | list[str]] = {"machines": kind}
        if usual.points:
            known[f"{usual.id}.points"] = everything
        known[f"{usual.id}.looks"] = [one.id for one in chosen]
        for one in chosen:
            known[f"{usual.id}.{one.id}.set"] = sort
            if sort == "screw" and "clockwise" not in one.sets[sort]:
                known[f"{usual.id}.{one.id}.clockwise"] = "2"
        _, shop = made(answered(known, MM)[0])
        set_right = {one.id for one in shop.machines[0].points if one.adjuster is not None}
        assert set_right == {one.id for one in chosen}


def test_three_machines_take_few_keys() -> None:
    """At most 40 times Enter, beside the digits that tick the machines."""
    stand, questions = answered({"machines": "table saw,jointer,planer"})
    _, shop = made(stand)
    assert [one.id for one in shop.machines[:3]] == ["saw", "jointer", "planer"]
    assert all(one.points and one.tasks and one.cutters for one in shop.machines[:3])
    assert questions <= 30


@pytest.mark.parametrize(("unit", "money"), [("inch", "dollars"), ("mm", "euros")])
def test_where_no_language_tells_the_money_the_unit_that_was_chosen_does(
    unit: str, money: str
) -> None:
    """No metric shop is offered dollars because its computer is set to no country."""
    stand, _ = answered({"unit": unit, "machines": "table saw"}, Here("inch", ""))
    assert made(stand)[1].money == money


def test_what_is_told_stands_in_the_file() -> None:
    """One of each question that Enter answers otherwise."""
    known = {
        "name": "Chair works",
        "unit": "mm",
        "money": "kr",
        "machines": "bandsaw,lathe",
        "tools": "square,feeler",
        "drawer": ["square", "more.square"],
        "square.size": "another",
        "square.length": "7.5 cm",
        "square.promise": "another",
        "square.within": "0.01 mm over 100 mm",
        "bandsaw.fine": "fine",
        "bandsaw.points": "table-square",
        "bandsaw.looks": ["its-name", "table-square"],
        "bandsaw.name": "Green bandsaw",
        "bandsaw.table-square.fine": "rough",
        "bandsaw.table-square.lever": "7 cm",
        "bandsaw.cutters": "wide",
        "bandsaw.wide.state": "dull",
        "bandsaw.wide.lasts": "12",
    }
    usual = machine("bandsaw")
    table = next(one for one in usual.points if "lever" in one.says and one.common)
    band = usual.cutters[0]
    known = {
        key.replace("table-square", table.id).replace(".wide", f".{band.id}"): value
        for key, value in known.items()
    }
    known["bandsaw.points"] = table.id
    known["bandsaw.looks"] = ["its-name", table.id]
    known["bandsaw.cutters"] = band.id
    _, shop = made(answered(known, INCH)[0])
    assert (shop.name, shop.unit, shop.money) == ("Chair works", "mm", "kr")
    square, second = shop.drawer.squares
    assert square.length == pytest.approx(75.0)  # 7.5 cm, by the SI
    assert square.limit == pytest.approx(0.01 / 100, rel=1e-3)
    assert second.id == "square-2"
    saw = shop.machines_by_id["bandsaw"]
    assert saw.name == "Green bandsaw"
    (point,) = saw.points
    assert point.geometry.lever == pytest.approx(70.0)
    assert table.tolerances is not None
    assert point.id == table.id
    cutter = saw.cutters[0]
    assert (cutter.state, cutter.lasts and cutter.lasts.amount) == ("dull", 12 * 60)


def test_modes_of_one_machine_share_its_knives_and_its_name() -> None:
    known: dict[str, str | list[str]] = {
        "machines": "table saw,jointer,planer,bandsaw",
        "apart": "modes",
        "change": "8",
    }
    _, shop = made(answered(known, MM)[0])
    modes = [one for one in shop.machines if one.body]
    assert [one.id for one in modes] == ["saw", "jointer", "planer"]
    assert {one.body for one in modes} == {"combination"}
    assert {one.change_minutes for one in modes} == {8.0}
    assert shop.machines_by_id["jointer"].cutters[0].serves == ("planer",)
    assert shop.machines_by_id["planer"].cutters == ()


def test_what_is_not_usual_is_told_in_own_words() -> None:
    known: dict[str, str | list[str]] = {
        "machines": "bandsaw,other",
        "bandsaw.cutters": ["own", "own"],
        "bandsaw.own-cutter.name": ["1/4 in skip tooth", "1/4 in skip tooth"],
        "bandsaw.tasks": "own",
        "bandsaw.own-task.name": "Édouard's round",
        "bandsaw.own-task.every": "another",
        "bandsaw.own-task.every.other": "3 projects",
        "bandsaw.own-task.edouard-s-round.last": "never",
        "other": "Steam box",
    }
    told, shop = made(answered(known)[0])
    saw, box = shop.machines_by_id["bandsaw"], shop.machines_by_id["other"]
    own = [one for one in saw.cutters if one.name.startswith("1/4")]
    assert [one.id for one in own] == ["own-1-4-in-skip-tooth", "own-1-4-in-skip-tooth-2"]
    assert {(one.kind, one.where) for one in own} == {("band", "on the shelf")}
    task = saw.tasks[-1]
    assert (task.name, task.every_projects, task.cutter_near) == ("Édouard's round", 3, True)
    assert (saw.id, task.id) not in {(one.machine, one.task) for one in told.done}
    assert (box.name, box.kind) == ("Steam box", "")


def test_a_machine_of_no_known_sort_is_asked_for_its_cutter_and_walked_then() -> None:
    known: dict[str, str | list[str]] = {"machines": "other", "other": "Slot mortiser"}
    _, shop = made(answered(known)[0])
    assert not shop.machines[0].has_round, "Enter: it has none"
    known["other.cutters"] = "1"
    known["other.own-cutter.name"] = "Mortise bit, 10 mm"
    _, shop = made(answered(known)[0])
    (cutter,) = shop.machines[0].cutters
    assert (cutter.name, cutter.kind, cutter.where) == (
        "Mortise bit, 10 mm",
        "bit",
        "on the machine",
    )
    assert shop.machines[0].has_round


def test_a_spare_is_one_only_of_what_is_there() -> None:
    known: dict[str, str | list[str]] = {"machines": "jointer", "jointer.cutters": "knives-b"}
    _, shop = made(answered(known)[0])
    spares = {one.id: one.spare_for for one in shop.machines[0].cutters}
    assert spares == {"knives": "", "knives-b": "knives"}
    known["jointer.cutters"] = ["knives-b", "knives"]
    known["jointer.knives.where"] = "none"
    _, shop = made(answered(known)[0])
    assert [(one.id, one.spare_for) for one in shop.machines[0].cutters] == [("knives-b", "")]
    known["jointer.cutters"] = ["knives-b", "knives-b"]
    known["jointer.knives-b.spare"] = ["1", "1"]
    del known["jointer.knives.where"]
    _, shop = made(answered(known)[0])
    assert {one.spare_for for one in shop.machines[0].cutters} == {""}


def test_what_is_held_by_hand_lies_side_by_side_at_hand() -> None:
    """Two gouges are in use at once, and one more that is told in own words."""
    known: dict[str, str | list[str]] = {
        "machines": "lathe",
        "lathe.cutters": ["spindle-gouge", "own"],
        "lathe.spindle-gouge.state": "dull",
        "lathe.own-cutter.name": "Bowl gouge",
    }
    _, shop = made(answered(known)[0])
    cutters = {one.id: (one.where, one.state, one.sort) for one in shop.machines[0].cutters}
    sharp = ("on the machine", "sharp", "hand tool")
    assert cutters["roughing-gouge"] == cutters["bowl-gouge"] == sharp
    assert cutters["spindle-gouge"] == ("on the machine", "dull", "hand tool")


def test_every_sort_of_tool_can_be_told_once_more() -> None:
    """With another length where it has one, and by the last promise that is offered."""
    from shopboard.usual.tools import tools

    every = {one.sort: one for one in tools("mm")}
    known: dict[str, str | list[str]] = {"machines": "lathe", "tools": ",".join(every)}
    known["drawer"] = [f"more.{sort}" for sort in every]
    for usual in every.values():
        if usual.sizes:
            known[f"{usual.id}-2.size"] = "another"
            known[f"{usual.id}-2.length"] = "1 cm" if usual.sort == "indicator" else "40 cm"
        if usual.promises:
            known[f"{usual.id}-2.promise"] = str(len(usual.promises))
    _, shop = made(answered(known, MM)[0], odd=True)
    drawer = shop.drawer
    found = [*drawer.squares, *drawer.feelers, *drawer.shims, *drawer.others]
    assert len(found) == 2 * len(every)
    assert [one.length for one in drawer.squares] == [150.0, 400.0]


def test_hours_are_asked_once_and_enter_tells_none() -> None:
    """Known hours by their number; two lines of them make two lines in the file."""
    _, shop = made(answered({"machines": "lathe"})[0])
    assert shop.hours == ()
    _, shop = made(answered({"machines": "lathe", "hours": "4"})[0])
    assert [(one.days, one.spans) for one in shop.hours] == [
        ((0, 1, 2, 3, 4), ((18 * 60, 21 * 60),)),
        ((5,), ((9 * 60, 17 * 60),)),
    ]
    own = {"machines": "lathe", "hours": "another", "hours.other": "8-17"}  # the pad types that
    _, shop = made(answered(own)[0])
    assert [(one.days, one.spans) for one in shop.hours] == [((), ((8 * 60, 17 * 60),))]


_TYPED_OF = {
    "name": {},
    "money": {},
    "hours.other": {"hours": "another"},
    "change": {"machines": "table saw,jointer", "apart": "modes"},
    "square.length": {"drawer": "square", "square.size": "another"},
    "square.within": {"drawer": "square", "square.promise": "another"},
    "bandsaw.name": {"bandsaw.looks": "its-name"},
    "bandsaw.table-side.lever": {"bandsaw.looks": "table-side"},
    "bandsaw.thrust.thread.other": {
        "bandsaw.looks": "thrust",
        "bandsaw.thrust.set": "screw",
        "bandsaw.thrust.thread": "another",
    },
    "bandsaw.wide.lasts": {"bandsaw.cutters": "wide"},
    "bandsaw.own-task.every.other": {
        "bandsaw.tasks": "own",
        "bandsaw.own-task.every": "another",
    },
    "bandsaw.tasks.tyres.ago": {
        "bandsaw.tasks": "tyres",
        "bandsaw.tasks.tyres.last": "another",
    },
}
"""Questions that take what is typed, each with the answers that lead to it."""


@pytest.mark.parametrize("key", _TYPED_OF)
def test_what_makes_no_shop_file_is_refused_where_it_is_typed(key: str) -> None:
    """And not 30 questions on, where the file is to be written."""
    for wrong in ("1234567890" * 7, "; ;", "rubbish, 9-", "-1", "0"):
        question, before = typed_at(key)
        try:
            told = [*before, reply(question, wrong)]
        except AnswerError:
            continue
        while (stand := follow(beginning(MM), told)).question is not None:
            told.append(reply(stand.question, "1" if stand.question.key == "machines" else ""))
        made(stand, odd=True)


def typed_at(key: str) -> tuple[Typed, list[Reply]]:
    """Give a question that takes what is typed, and the answers that lead to it."""
    left, told = {"machines": "bandsaw", **_TYPED_OF[key]}, list[Reply]()
    while (question := follow(beginning(MM), told).question) is not None:
        if question.key == key:
            assert isinstance(question, Typed)
            return question, told
        told.append(reply(question, left.pop(question.key, "")))
    raise AssertionError(f"{key} is never asked")


def test_hours_of_several_days_are_read_where_they_are_typed() -> None:
    question, _ = typed_at("hours.other")
    assert question.accept("") == question.default
    assert any("; Sat" in one for one in question.lines), "it says what stands between days"
    for wrong in (
        "rubbish",
        "Mon to Fri 8-17; rubbish",
        "Mon to Fri 8-17; Mon 9-12",
        "Mon to Thu 8:00 to 12:00, 13-17:30, Sat 9-13",
    ):
        with pytest.raises(AnswerError) as refused:
            question.accept(wrong)
    assert '"Sat 9-13" is of other days' in str(refused.value)
    known = {"machines": "lathe", "hours": "another"}
    known["hours.other"] = "Mon to Thu 8:00 to 12:00, 13-17:30; Sat 9-13;"
    _, shop = made(answered(known)[0])
    assert [(one.days, one.spans) for one in shop.hours] == [
        ((0, 1, 2, 3), ((8 * 60, 12 * 60), (13 * 60, 17 * 60 + 30))),
        ((5,), ((9 * 60, 13 * 60),)),
    ]


def test_a_task_of_ones_own_comes_by_whichever_is_first() -> None:
    known: dict[str, str | list[str]] = {
        "machines": "bandsaw",
        "bandsaw.tasks": "own",
        "bandsaw.own-task.every": "another",
        "bandsaw.own-task.every.other": "5 weeks; 3 projects",
    }
    _, shop = made(answered(known)[0])
    task = shop.machines[0].tasks[-1]
    assert (task.every_projects, task.every_days) == (3, 35)


def test_all_but_names_is_told_with_digits() -> None:
    """A thread, how often, how long an edge lasts, what a maker promises, a set of one's own."""
    known: dict[str, str | list[str]] = {
        "machines": "router table,jointer",
        "drawer": ["square", "leaves"],
        "square.promise": "7",
        "square.within": ".05",
        "leaves.promise": "5",
        "leaves.leaves": "1,2,3",
        "jointer.looks": "fence",
        "jointer.fence.set": "2",
        "jointer.fence.thread": "5",
        "jointer.fence.clockwise": "1",
        "router.cutters": "1",
        "router.straight.lasts": "300",
        "router.tasks": "own",
        "router.own-task.every": "6",
    }
    _, shop = made(answered(known, MM)[0], odd=True)
    (square,), (leaves,) = shop.drawer.squares, shop.drawer.feelers
    assert square.limit == pytest.approx(0.05 / 150, rel=1e-3)
    assert leaves.leaves == pytest.approx((0.02, 0.03, 0.04))
    router, jointer = shop.machines_by_id["router"], shop.machines_by_id["jointer"]
    adjuster = next(one for one in jointer.points if one.id == "fence").adjuster
    assert isinstance(adjuster, Screw)
    assert adjuster.pitch == pytest.approx(1.75)  # M12, ISO 261
    lasts = router.cutters[0].lasts
    assert lasts is not None
    assert (lasts.amount, lasts.unit) == (300_000, "mm")
    assert router.tasks[-1].every_minutes == 20 * 60


def test_hand_tools_are_no_machine_of_which_it_is_asked_whether_it_stands_alone() -> None:
    told: list[Reply] = []
    known = {"machines": "hand tools,bandsaw", "hand-tools.cutters": ""}
    while (question := follow(beginning(), told).question) is not None:
        if question.key == "apart":
            assert question.lines == ("Bandsaw.",)
        told.append(reply(question, known.get(question.key, "")))
    _, shop = made(answered({"machines": "hand tools"})[0])
    assert [one.kind for one in shop.machines] == ["hand tools"]


def test_a_described_bandsaw_has_its_wheels_set_before_its_guides() -> None:
    """The tension is not asked for by Enter: what it stands between is not cut loose by that."""
    _, shop = made(answered({"machines": "bandsaw"})[0])
    for ident in ("guides", "thrust"):
        assert shop.points[f"bandsaw.{ident}"].rests_on == ("bandsaw.wheels",)


@pytest.mark.parametrize(("here", "name"), [(INCH, "Tape, 16 ft"), (MM, "Tape, 5 m")])
def test_a_tape_is_called_as_one_asks_for_it(here: Here, name: str) -> None:
    _, shop = made(answered({"machines": "lathe", "tools": "tape"}, here)[0])
    assert [one.name for one in shop.drawer.others] == [name]


def test_two_of_a_kind_are_two_machines() -> None:
    known = {"machines": "bandsaw", "apart": "two", "again": "bandsaw"}
    _, shop = made(answered(known)[0])
    assert [one.id for one in shop.machines if one.kind == "bandsaw"] == ["bandsaw", "bandsaw-2"]


def test_a_task_was_last_done_on_the_day_that_is_told() -> None:
    tasks = [one.id for one in machine("table saw").tasks if one.common]
    known: dict[str, str | list[str]] = {
        "machines": "table saw",
        "saw.tasks": [*tasks[:3], tasks[0]],
        f"saw.tasks.{tasks[0]}.last": ["week", "another"],
        f"saw.tasks.{tasks[0]}.ago": "12",
        f"saw.tasks.{tasks[1]}.last": "never",
        f"saw.tasks.{tasks[2]}.last": "none",
    }
    told, shop = made(answered(known)[0])
    days = {one.task: one.day for one in told.done}
    assert days[tasks[0]] == DAY - timedelta(days=12)
    assert tasks[1] not in days
    assert tasks[2] not in {one.id for one in shop.machines[0].tasks}


def test_a_tool_that_nobody_vouches_for_is_proven_at_the_bench() -> None:
    _, shop = made(answered({"machines": "table saw"})[0])
    assert [one.proves for one in shop.machines_by_id["bench"].points] == ["square"]
    _, shop = made(answered({"machines": "table saw", "drawer": "1", "square.promise": "1"})[0])
    assert "bench" not in shop.machines_by_id


def test_what_the_tools_cannot_prove_is_not_ticked_and_says_what_it_takes() -> None:
    begin = beginning()
    for tools, provable in (("square,feeler", False), ("square,feeler,indicator", True)):
        told: list[Reply] = []
        known = {"machines": "table saw", "tools": tools}
        while (question := follow(begin, told).question) is not None:
            if question.key == "saw.points":
                break
            told.append(reply(question, known.get(question.key, "")))
        assert isinstance(question, Ticks)
        at = [one.value for one in question.options].index("blade-slot")
        assert ("blade-slot" in question.ticked) is provable
        assert ("indicator" in question.beside[at]) is not provable


@given(
    st.integers(0, 2**32), st.lists(st.sampled_from(["any", "enter", "back", "again"]), max_size=60)
)
def test_any_answers_come_to_a_file_that_is_read(seed: int, acts: list[str]) -> None:
    """Gone back, or begun again with the answers on the disk: only the answers left count."""
    chance = random.Random(seed)
    begin = beginning(chance.choice([INCH, MM, Here("mm", "kr")]))
    told: list[Reply] = []
    stand = follow(begin, told)
    for act in acts:
        if stand.question is None:
            break
        if act == "back":
            del told[-1:]
        elif act == "again":
            again = follow(begin, told)
            assert [one.key for one, _ in again.answered] == [one.key for one, _ in stand.answered]
            assert again.question == stand.question or isinstance(stand.question, Typed)
        else:
            number = (
                chance.getrandbits(12)
                if stand.question.key != "machines"
                else 1 << chance.randrange(12)
            )
            text = any_answer(stand.question, number) if act == "any" else ""
            if stand.question.key == "machines" and act == "enter":
                text = "12"
            told.append(reply(stand.question, text))
        stand = follow(begin, told)
        assert len(stand.answered) == len(told)
    left = 0
    while stand.question is not None:
        text = "1" if stand.question.key == "machines" else ""
        told.append(reply(stand.question, text))
        stand, left = follow(begin, told), left + 1
        assert left < 200
    described, _ = made(stand, odd=True)
    assert file_text(described) == file_text(made(follow(begin, told), odd=True)[0])


@given(st.text(max_size=30))
def test_what_is_typed_is_taken_or_refused_in_a_sentence(text: str) -> None:
    """A length, a name, a time, a tolerance: by the rules of the shop file."""
    from shopboard.describing.ask import kind_of

    settings = {
        "in": ("machine.point", "lever"),
        "": ("machine", "name"),
        "min": ("machine", "change"),
        "hours": ("machine.cutter", "lasts"),
    }
    for behind, setting in settings.items():
        asked = Typed(
            key="k", title="", kind=kind_of(*setting), unit="inch", default="3", behind=behind
        )
        kept = ""
        with suppress(AnswerError):
            kept = asked.accept(text)
        if kept:
            assert asked.accept(kept) == kept, "what is kept is taken again"


def test_the_questions_left_are_those_that_enter_answers() -> None:
    begin = beginning()
    told: list[Reply] = []
    lefts = []
    while (question := follow(begin, told).question) is not None:
        lefts.append(still_asked(begin, told, DAY))
        told.append(reply(question, "table saw" if question.key == "machines" else ""))
    known = [one for one in lefts if one is not None]
    assert lefts.count(None) == 5, "before the machines are told, nobody knows"
    assert known == list(range(len(known), 0, -1))


def test_a_list_to_look_over_is_left_by_enter_alone() -> None:
    begin, told = beginning(), list[Reply]()
    while not isinstance(question := follow(begin, told).question, Look):
        assert question is not None
        told.append(reply(question, "table saw" if question.key == "machines" else ""))
    assert question.accept("") == question.default
    assert question.accept("1") == question.options[0].value


def test_what_makes_no_shop_file_is_said_before_it_is_written(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """However that may come about: the reader has the last word."""
    from shopboard.describing import reading

    def wrong(_: object) -> str:
        return '[shop]\nname = "x"\nunit = "ell"\n'

    begin, told = beginning(), list[Reply]()
    while (question := follow(begin, told).question) is not None and question.key != "write":
        told.append(reply(question, "lathe" if question.key == "machines" else ""))
    monkeypatch.setattr(reading, "file_text", wrong)
    question = follow(begin, told).question
    assert question is not None
    assert question.lines[0].startswith("It cannot be written like this")
    assert any('"ell" is no unit of a shop' in one for one in question.lines)


def test_in_the_end_it_says_what_cannot_be_proven_and_what_would_help() -> None:
    """A sweep along the slot and a run-out are read by an indicator, whatever else is there."""
    begin, told = beginning(), list[Reply]()
    known = {"machines": "table saw", "tools": "square", "saw.points": "arbor,blade-slot"}
    while (question := follow(begin, told).question) is not None and question.key != "write":
        told.append(reply(question, known.get(question.key, "")))
    assert question is not None
    words = " ".join(question.lines)
    assert "1 machine and the bench where tools are proven, 3 points and 3 tasks." in words
    assert "Table saw, Blade parallel to the slot: this check needs an indicator" in words
    assert "With a dial indicator they can prove 2 more." in words


@pytest.mark.parametrize("kind", ["bandsaw", "hand tools"])
def test_without_a_tool_nothing_is_said_to_be_proven_by_one(kind: str) -> None:
    begin, told = beginning(), list[Reply]()
    known = {"machines": kind, "tools": "none"}
    while (question := follow(begin, told).question) is not None and question.key != "write":
        told.append(reply(question, known.pop(question.key, "")))
    assert question is not None
    words = " ".join(question.lines)
    assert "You told of no tool that measures" in words
    assert "prove" not in words
    assert "bench" not in words


@pytest.mark.parametrize(
    ("promise", "says"),
    [
        ({}, "prove all of it, once they are proven themselves: that comes first."),
        ({"drawer": "1", "square.promise": "1"}, "prove all of it."),
    ],
)
def test_tools_that_nobody_vouches_for_prove_nothing_before_they_are_proven(
    promise: dict[str, str], says: str
) -> None:
    begin, told = beginning(), list[Reply]()
    known = {"machines": "table saw", **promise}
    while (question := follow(begin, told).question) is not None and question.key != "write":
        told.append(reply(question, known.pop(question.key, "")))
    assert question is not None
    assert says in " ".join(question.lines)
