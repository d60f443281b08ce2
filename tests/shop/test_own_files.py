"""Projects in files of their own: read, refused under their own names, read anew by the board."""

from __future__ import annotations

import os
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopboard.open_shop import OpenShop
from shopboard.shop.kept import Loaded
from shopboard.shop.problems import Problem, ShopFileError, render
from shopboard.shop.reader import read_shop
from tests.in_turn import part
from tests.journal.helpers import Clock
from tests.shop.texts import SHOP, unmark

CHEST = """\
[[project]]
id = "chest"
name = "Chest"

[[project.joint]]
id = "rail"
name = "Rails"
kind = "tenon"
width = 3
thickness = 1
"""
STOCK = SHOP + 'shows_in = ["end angle", "end tilt", "length"]\n'
BENCH = CHEST.replace('"chest"', '"bench"')

Write = Callable[..., Path]


@pytest.fixture
def write(tmp_path: Path) -> Write:
    """Write a shop file that names files, and those files; give its path."""

    def write(listed: str = '["chest.toml"]', shop: str = STOCK, **files: str) -> Path:
        path = tmp_path / "shop.toml"
        head = 'unit = "inch"\n'
        path.write_text(shop.replace(head, f"{head}projects = {listed}\n"), encoding="utf-8")
        for name, text in files.items():
            (tmp_path / f"{name}.toml").write_text(text, encoding="utf-8", newline="")
        return path

    return write


def problems(path: Path) -> tuple[Problem, ...]:
    with pytest.raises(ShopFileError) as caught:
        read_shop(path)
    return caught.value.problems


def ids(loaded: Loaded) -> list[str]:
    return [project.id for project in loaded.shop.projects]


def test_projects_come_in_the_order_of_the_files(write: Write, tmp_path: Path) -> None:
    more = CHEST.replace('"chest"', '"stool"')
    path = write('["chest.toml", "winter/bench.toml"]', STOCK + more, chest=CHEST)
    (tmp_path / "winter").mkdir()
    (tmp_path / "winter" / "bench.toml").write_text(BENCH, encoding="utf-8")
    loaded = read_shop(path)
    assert ids(loaded) == ["stool", "chest", "bench"]
    assert loaded.warnings == ()
    assert loaded.shop.projects[1].joints[0].points["length"] == ("saw.blade",)
    status = (tmp_path / "chest.toml").stat()
    assert loaded.beside[tmp_path / "chest.toml"] == (status.st_mtime_ns, status.st_size)


def test_bare_numbers_take_the_unit_of_the_shop(write: Write) -> None:
    path = write(chest=CHEST)
    assert read_shop(path).shop.projects[0].joints[0].sizes["width"] == pytest.approx(76.2)


def test_the_digest_follows_every_file(write: Write) -> None:
    first = read_shop(write(chest=CHEST)).digest
    assert read_shop(write(chest=CHEST)).digest == first
    assert read_shop(write(chest=CHEST + "# more\n")).digest != first


WRONG = [
    ("typo", CHEST.replace("width", "»widht"), 'mean "width"'),
    ("no-toml", CHEST.replace('"Rails"', "»Rails"), "text needs quotes"),
    ("machine", CHEST.replace("kind", 'made_on = { length = »"saww" }\nkind'), 'mean "saw"'),
    ("shop", '[»shop]\nname = "B"\n' + CHEST, '"shop" is not a key of the top of the file'),
    ("escape", CHEST.replace("Rails", "Ra»\\u001bils"), "control character U+001B"),
    ("turned", CHEST.replace("Rails", "Ra»\u202eils"), "turns the direction"),
    ("deep", "x = " + "»[" * 1 + "[" * 40 + "]" * 41, "nested too deeply"),
    ("twice", CHEST + "\n" + CHEST.replace('"chest"', '»"chest"'), "another project has the id"),
]


@pytest.mark.parametrize(("marked", "words"), [w[1:] for w in WRONG], ids=[w[0] for w in WRONG])
def test_what_is_wrong_is_told_under_its_own_name(write: Write, marked: str, words: str) -> None:
    text, line, column = unmark(marked)
    path = write(chest=text)
    (problem,) = problems(path)
    shown = render(str(path), problem)
    if marked[0] != "x":  # the place of nesting is where it gets too deep
        assert shown.startswith(f"{path.parent / 'chest.toml'}:{line}:{column}: ")
    assert words in problem.sentence
    assert render("shop.toml", problem).startswith("chest.toml:")
    assert "\x1b" not in shown
    assert "\u202e" not in shown


def test_bad_bytes_have_their_place(write: Write, tmp_path: Path) -> None:
    path = write()
    (tmp_path / "chest.toml").write_bytes(b"# a\n# \xff\n")
    (problem,) = problems(path)
    assert (problem.file, problem.line, problem.column) == ("chest.toml", 2, 3)


def test_one_id_in_two_files(write: Write) -> None:
    path = write('["chest.toml", "other.toml"]', chest=CHEST, other=CHEST)
    (problem,) = problems(path)
    assert (problem.file, problem.line) == ("other.toml", 2)
    assert "it is in chest.toml" in problem.sentence
    (problem,) = problems(write('["other.toml"]', STOCK + CHEST, other=CHEST))
    assert "it is in shop.toml" in problem.sentence


@pytest.mark.parametrize(
    ("listed", "words"),
    [
        ('[»"chests.toml"]', "no such file"),
        ('["chest.toml", »"./chest.toml"]', "there twice"),
        ('[»"shop.toml"]', "this is the shop file itself"),
        ('[»"/etc/chest.toml"]', "not beside the shop file"),
        ('[»"../chest.toml"]', "not beside the shop file"),
        ('[»"C:chest.toml"]', "not beside the shop file"),
        ("[»'a\\chest.toml']", 'did you mean "a/chest.toml"?'),
        ('[»"."]', "this is a folder"),
        ('[»""]', "nothing between the quotes"),
        ("»3", "the name of a file"),
        ("»[]", "an empty list"),
        ("[»3]", "the name of a file"),
        ('["chest»\\u0000.toml"]', "control character U+0000"),
    ],
)
def test_a_file_that_cannot_be_is_told_where_it_is_named(
    write: Write, listed: str, words: str
) -> None:
    path = write(listed, chest=CHEST)
    text, line, column = unmark(path.read_text(encoding="utf-8"))
    path.write_text(text, encoding="utf-8")
    (problem,) = problems(path)
    assert (problem.file, problem.line, problem.column) == ("", line, column)
    assert words in problem.sentence


def test_an_empty_file_is_a_warning_of_its_own(write: Write) -> None:
    (warning,) = read_shop(write(chest="# later\n")).warnings
    assert (warning.file, warning.severity) == ("chest.toml", "warning")
    assert "no project in this file yet" in warning.sentence


def test_problems_of_both_files_come_in_one_run(write: Write) -> None:
    path = write(shop=STOCK + "colour = 1\n", chest=CHEST + "colour = 1\n")
    assert [problem.file for problem in problems(path)] == ["", "chest.toml"]


def later(path: Path, text: str) -> None:
    """Write a file as an editor does, and make sure that its time differs."""
    before = path.stat().st_mtime_ns if path.exists() else 0
    path.write_text(text, encoding="utf-8")
    os.utime(path, ns=(path.stat().st_atime_ns, max(before, path.stat().st_mtime_ns) + 10**6))


def test_the_board_reads_anew_when_one_changes(
    write: Write, tmp_path: Path, journal_path: Path, clock: Clock
) -> None:
    """A broken one leaves the last good shop; mended, taken away and put back it is seen."""
    own = tmp_path / "chest.toml"
    with closing(OpenShop(write(chest=CHEST), journal_path, clock)) as open_shop:
        assert open_shop.poll() is False
        later(own, CHEST.replace('"Chest"', '"Oak chest"'))
        assert open_shop.poll() is True
        assert open_shop.shop.projects[0].name == "Oak chest"

        later(own, "[[project]\n")
        assert open_shop.poll() is True
        assert open_shop.problems[0].file == "chest.toml"
        assert open_shop.shop.projects[0].name == "Oak chest"
        assert open_shop.poll() is False

        later(own, CHEST + BENCH)
        assert open_shop.poll() is True
        assert (open_shop.problems, len(open_shop.shop.projects)) == ((), 2)

        own.unlink()
        assert open_shop.poll() is True
        assert "no such file" in open_shop.problems[0].sentence
        assert len(open_shop.shop.projects) == 2
        assert open_shop.poll() is False

        later(own, CHEST)
        assert open_shop.poll() is True
        assert (open_shop.problems, len(open_shop.shop.projects)) == ((), 1)


def test_a_file_named_later_is_looked_after(
    write: Write, tmp_path: Path, journal_path: Path, clock: Clock
) -> None:
    """One that is missing when it is named is read as soon as it is there."""
    path = tmp_path / "shop.toml"
    path.write_text(STOCK, encoding="utf-8")
    with closing(OpenShop(path, journal_path, clock)) as open_shop:
        write()
        assert open_shop.poll() is True
        assert "no such file" in open_shop.problems[0].sentence
        later(tmp_path / "chest.toml", CHEST)
        assert open_shop.poll() is True
        assert (open_shop.problems, len(open_shop.shop.projects)) == ((), 1)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=part(50))
@given(st.text(st.sampled_from("[]{}=\"'\\\n#,.a1- \u202e\x1b"), max_size=60))
def test_any_text_is_answered(write: Write, text: str) -> None:
    """Whatever stands in a file of its own, it is read or its problems are told."""
    try:
        shown = "".join(found.sentence for found in read_shop(write(chest=CHEST + text)).warnings)
    except ShopFileError as error:
        shown = str(error)
    assert "\x1b" not in shown
    assert "\u202e" not in shown
