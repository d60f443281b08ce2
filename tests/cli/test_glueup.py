"""`project` and `glueup`: data on stdout, words on stderr, what the exit code says."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, datetime

import pytest

from shopboard.journal import NewEntry, new_uid, open_journal
from tests.cli.program import Program
from tests.prep.results import result
from tests.prep.woodshop import SHOP

MEASURED = ("saw.table", "saw.blade", "saw.gauge", "jointer.fence")


@pytest.fixture
def forge(program: Program) -> Program:
    """The wood shop; all but the mitre stop measured true just now."""
    program.write("shop.toml", SHOP)
    with closing(open_journal(program.journal, lambda: datetime.now(UTC))) as journal:
        for name in MEASURED:
            machine, _, point = name.partition(".")
            journal.append([NewEntry(new_uid(), "check", machine, point, result(2e-4, 5e-5))])
        body = result(0.02, 0.005, "length")
        journal.append([NewEntry(new_uid(), "check", "jointer", "tables", body)])
    return program


def test_go_ends_with_0_and_says_every_misfit(forge: Program) -> None:
    ran = forge("glueup", "chest", "top")
    assert ran.code == 0
    assert ran.out.startswith("GO: Lid panel (Blanket chest)\n")
    assert "gap in the glue line: likely " in ran.out
    assert "allowed 15.6 thou" in ran.out
    assert ran.err == "It speaks of fit, never of safety.\n"


def test_hold_ends_with_1_and_says_why_and_what_to_do(forge: Program) -> None:
    ran = forge("glueup", "chest", "lid-frame")
    assert ran.code == 1
    assert ran.out.splitlines()[:4] == [
        "HOLD: Lid frame (Blanket chest)",
        "1. Table saw: Mitre stop at 45 is unproven: never checked.",
        "   check Table saw: Mitre stop at 45: about 25 min",
        "   shopboard check saw.stop-45 --for chest.lid-frame",
    ]


def test_what_is_not_told_of_a_hold_at_length_is_named(program: Program) -> None:
    """Nothing is measured, and a tag beside it: three reasons, of which the worst two are told."""
    program.write("shop.toml", SHOP)
    program("tag", "saw", "the guard is off")
    assert len(program("glueup", "box", "sides", "--json").json["reasons"]) == 3
    ran = program("glueup", "box", "sides")
    third = program("glueup", "box", "sides", "--json").json["reasons"][2]["reason"]
    assert ran.out.splitlines()[-1] == f"And {third}."


def test_hold_as_json_has_every_reason(forge: Program) -> None:
    ran = forge("glueup", "chest", "lid-frame", "--json")
    assert ran.code == 1
    first = ran.json["reasons"][0]
    assert (ran.json["go"], ran.json["project"], ran.json["joint"]) == (False, "chest", "lid-frame")
    assert (first["sort"], first["check"], first["minutes"]) == ("not proven", ["saw.stop-45"], 25)
    assert ran.json["details"]["not_proven"] == {"saw.stop-45": "never checked"}
    assert ran.json["about"].startswith("It speaks of fit")


def test_a_tag_is_the_first_reason_and_names_no_check(forge: Program) -> None:
    forge("tag", "jointer", "the guard is off")
    ran = forge("glueup", "chest", "top")
    assert ran.code == 1
    assert "1. Jointer: DO NOT USE. the guard is off." in ran.out
    assert "shopboard check" not in ran.out
    forge("tag", "jointer", "--clear", "the guard is on")
    assert forge("glueup", "chest", "top").code == 0


def test_what_nothing_shows_in_is_hold(forge: Program) -> None:
    ran = forge("glueup", "chest", "leaf")
    assert ran.code == 1
    assert "Nothing proves the resaw" in ran.out
    assert 'shows_in = "resaw"' in ran.out


BAND = """
[[machine]]
id = "band"
name = "Bandsaw"
[[machine.point]]
id = "wheels"
name = "Wheels clean"
check = "go-no-go"
datum = "wheels"
face = "tyres"
shows_in = "resaw"
"""


def test_where_only_a_yes_or_no_shows_what_is_wanting_is_said(forge: Program) -> None:
    """It said that no point shows, and to write shows_in, which stands there already."""
    shop = forge.write("shop.toml", SHOP + BAND)
    ran = forge("glueup", "chest", "leaf")
    assert ran.code == 1
    assert "Nothing proves the resaw: a yes or no shows in it, nothing that is measured." in ran.out
    assert 'must have a point that measures it, with shows_in = "resaw"' in ran.out
    assert "shopboard check" not in ran.out  # wheels never looked at: that alone lifts nothing
    reasons = forge("glueup", "chest", "leaf", "--json").json["reasons"]
    assert [one["check"] for one in reasons] == [[], []]
    assert "nothing that is measured shows in the resaw" in forge("proofread", str(shop)).err


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("glueup", "chets", "top"), "no project 'chets'; did you mean chest?"),
        (("glueup", "chest", "lidframe"), "did you mean lid-frame?"),
        (("project", "chets"), "did you mean chest?"),
        (("glueup", "chest"), "which joint of chest? It has top, turned, lid-frame, leaf"),
    ],
)
def test_what_is_not_there_is_refused(forge: Program, words: tuple[str, ...], says: str) -> None:
    ran = forge(*words)
    assert ran.code == 2
    assert says in ran.err
    assert ran.out == ""


def test_a_shop_without_projects_says_so(program: Program) -> None:
    ran = program("project")
    assert (ran.code, ran.out) == (0, "")
    assert "There is no project in the shop file" in ran.err
    assert program("glueup", "chest", "top").code == 2
    assert program("project", "--json").json["projects"] == []


def test_a_project_says_what_each_joint_gets_and_each_point_needs(forge: Program) -> None:
    ran = forge("project", "chest")
    assert ran.code == 0
    lines = ran.out.splitlines()
    assert lines[0].endswith("; what is given as at most is not exceeded, 95 % certain")
    assert any(line.startswith("  top: Lid panel (panel of 5 pieces; ") for line in lines)
    assert any("cancels: the faces are alternated" in line for line in lines)
    assert any("each mitre takes its own 2 errors" in line for line in lines)
    at = lines.index("  How true each point must be; what costs this project most comes first:")
    assert "saw.stop-45" in lines[at + 1]
    assert "shop file 20.9 thou/ft (0.1 deg) is too loose" in lines[at + 2]
    assert "not proven: never checked" in lines[at + 3]
    assert "box: Tool box" in forge("project").out


def test_a_project_as_json_has_units_and_no_gaps(forge: Program) -> None:
    (chest,) = forge("project", "chest", "--json").json["projects"]
    top = chest["joints"][0]
    gap = top["effects"][0]
    assert top["made_on"] == {
        "edge angle": ["jointer.fence"],
        "edge line": ["jointer.tables"],
    }
    assert gap["likely"]["thou"] < gap["at_most"]["thou"] < gap["wanted"]["thou"] == 15.625
    frame = chest["joints"][2]["effects"][0]
    assert (frame["at_most"], frame["fits"]) == (None, False)
    stop = chest["points"][0]
    assert (stop["id"], stop["share_of_limit"], stop["tighter"]) == ("saw.stop-45", None, True)
    assert stop["needed"]["deg"] < stop["shop_file_allows"]["deg"]
    assert [one["id"] for one in forge("project", "--json").json["projects"]] == ["chest", "box"]


def test_a_broken_file_of_projects_is_named_with_how_much_is_to_mend(forge: Program) -> None:
    """The resaw that nothing proves is a warning: it keeps nothing from being read."""
    forge.write("shop.toml", SHOP.replace("[shop]", '[shop]\nprojects = ["stool.toml"]', 1))
    forge.write("stool.toml", '[[project]]\nid = "stool"\nname = "Stool"\nstrat = 2026-12-07\n')
    ran = forge("proofread")
    assert ran.code != 0
    assert 'did you mean "start"?' in ran.err
    assert ran.err.endswith("1 error in stool.toml; nothing was changed.\n")


def test_a_project_without_joints_has_none_to_ask_about(program: Program) -> None:
    program.write("shop.toml", f'{SHOP}\n[[project]]\nid = "bare"\nname = "Bare"\n')
    ran = program("glueup", "bare", "top")
    assert ran.code == 2
    assert "bare has no joint yet; [[project.joint]] adds one" in ran.err
