"""Where an id is meant, the name that the board shows does as well, and the id is written."""

from __future__ import annotations

from pathlib import Path

import pytest
import tomli

from shopboard.checks.registry import facts, names
from shopboard.writing.by_name import ids_of
from shopboard.writing.meant import Rules
from shopboard.writing.offers import offer
from shopboard.writing.opened import open_file
from shopboard.writing.wishes import added, settings_as
from tests.two_shops import SHOPS, written

TWO = """
[[machine]]
id = "saw"
name = "Saw"
[[machine.point]]
id = "blade"
name = "Blade at 90"
[[machine.point]]
id = "stop"
name = "Stop"
[[machine.cutter]]
id = "rip"
name = "Rip blade"
[[machine.task]]
id = "wax"
name = "Wax"
[[machine]]
id = "band"
name = "Bandsaw"
[[machine.point]]
id = "table"
name = "Table at 90"
[[machine.point]]
id = "halt"
name = "Stop"
[[machine.cutter]]
id = "wide"
name = "Wide band"
[[machine.task]]
id = "brush"
name = "Brush the tyres"
[[drawer.square]]
id = "square-6"
name = "Small square"
"""


@pytest.mark.parametrize(
    ("sort", "owner", "key", "typed", "written"),
    [
        ("point", "saw", "rests_on", "blade at  90", "blade"),
        ("point", "saw", "rests_on", "Table at 90", "band.table"),
        ("point", "saw", "rests_on", "Stop", "stop"),  # two are called so, one of them here
        ("point", "saw", "rests_on", "blade", "blade"),
        ("point", "saw", "rests_on", "Wide band", "Wide band"),
        ("point", "saw", "proves", "Small square", "square-6"),
        ("cutter", "saw", "spare_for", "Rip blade", "rip"),
        ("cutter", "saw", "spare_for", "Wide band", "Wide band"),  # of another machine
        ("cutter", "saw", "serves", "Bandsaw", "band"),
        ("task", "saw", "before", "Wide band", "band.wide"),
        ("task", "saw", "before", "Brush the tyres", "band.brush"),
        ("task", "band", "before", "brush the tyres", "brush"),
        ("cutter", "saw", "before", "Brush the tyres", "band.brush"),
        ("cutter", "saw", "before", "Wide band", "Wide band"),  # no task
        ("joint", "desk", "made_on.edge_angle", "Bandsaw", "band"),
        ("joint", "desk", "made_on.edge_angle", "Blade at 90", "saw.blade"),
        ("joint", "desk", "made_on.edge_angle", "Stop", "Stop"),  # which of the two?
        ("point", "saw", "datum", "Blade at 90", "Blade at 90"),  # words, and no id
    ],
)
def test_a_name_is_written_as_the_id_of_the_one_so_called(
    sort: str, owner: str, key: str, typed: str, written: str
) -> None:
    """What stays as it was typed is for the reader to refuse: it names what there is."""
    assert ids_of(tomli.loads(TWO), sort, owner, key, [typed]) == [written]


@pytest.mark.parametrize("name", SHOPS)
def test_every_cutter_of_any_shop_is_a_spare_by_name_as_by_id(name: str, tmp_path: Path) -> None:
    """Set, and given with a new one: the lines are the same."""
    path = written(name, tmp_path)
    file = open_file(path, Rules(str(path), names(), facts()))
    data, tried = file.data, 0
    for one in (each for each in file.things if each.sort == "cutter"):
        machine = file.thing("machine", one.owner)
        assert machine is not None
        for words in ([one.id], [file.title(one)]):
            new = added(data, machine, "cutter", {"id": ["x"], "spare_for": words}).typed
            old = settings_as(data, one, {"spare_for": words}).typed
            assert (new["spare_for"], old["spare_for"][0].value) == (old["spare_for"], one.id)
        tried += 1
    assert tried


def test_it_is_told_where_it_is_asked_for() -> None:
    for table, key, told in (
        ("machine.cutter", "spare_for", "the name of a cutter; or "),
        ("project.joint", "made_on.edge_angle", "the name of a machine or a point; or "),
    ):
        asked = offer(table, key, "mm")
        assert asked is not None
        assert asked.allowed.startswith(told)
