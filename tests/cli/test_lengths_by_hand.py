"""A shop without a stop: its frames and cases are not held up for ever for their lengths."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, datetime

import pytest

from shopboard.journal import NewEntry, new_uid, open_journal
from tests.cli.program import Program
from tests.prep.results import result
from tests.shop_head import head


def point(ident: str, shows: str) -> str:
    return (
        f'[[machine.point]]\nid = "{ident}"\nname = "{ident}"\ncheck = "square"\n'
        f'datum = "table"\nface = "{ident}"\nlever = "100 mm"\ntolerance = "2 mm/m"\n'
        f'shows_in = "{shows}"\n'
    )


METRIC = (
    head("The cooperage").replace('"inch"', '"mm"')
    + '[[machine]]\nid = "saw"\nname = "Saw"\nkind = "table saw"\n'
    + "".join(map(point, ("blade", "gauge", "mitre"), ("end tilt", "end angle", "mitre")))
)
COMBI = METRIC.replace('id = "saw"\n', 'id = "saw"\nbody = "combi"\nchange = "5 min"\n') + (
    '[[machine]]\nid = "planer"\nname = "Planer"\nkind = "planer"\nbody = "combi"\n'
    'change = "5 min"\n' + point("bed", "thickness")
)
JOINTS = {
    "case": 'kind = "carcase"\nwidth = "600 mm"\nheight = "500 mm"\ndepth = "200 mm"\n',
    "frame": 'kind = "frame"\nwidth = "60 mm"\nlength = "600 mm"\n',
    "rail": 'kind = "tenon"\nwidth = "60 mm"\n',
}


def project(joint: str, made_on: str = "") -> str:
    lines = '[[project]]\nid = "chest"\nname = "Chest"\nthickness = "18 mm"\n[[project.joint]]\n'
    lines += f'id = "{joint}"\nname = "The {joint}"\n{JOINTS[joint]}'
    lines += '[project.joint.fit]\ngap = "0.8 mm"\n'
    return lines + (f"[project.joint.made_on]\n{made_on}\n" if made_on else "")


def all_true(program: Program) -> None:
    with closing(open_journal(program.journal, lambda: datetime.now(UTC))) as journal:
        for one in ("blade", "gauge", "mitre"):
            journal.append([NewEntry(new_uid(), "check", "saw", one, result(1e-5, 5e-5))])


@pytest.mark.parametrize("joint", JOINTS)
@pytest.mark.parametrize("shop", [METRIC, COMBI])
def test_what_to_write_is_said_and_written_it_is_go(
    program: Program, shop: str, joint: str
) -> None:
    program.write("shop.toml", shop + project(joint))
    all_true(program)
    held = program("glueup", "chest", joint)
    assert held.code == 1
    assert "Nothing proves the length: no point of the shop shows in it." in held.out
    said = 'in the joint\'s made_on length = "by hand", if no stop is used'
    assert said in held.out
    assert 'or length = "by hand" in [project.joint.made_on]' in program("proofread").err

    program.write("shop.toml", shop + project(joint, 'length = "by hand"'))
    found = program("glueup", "chest", joint)
    assert found.out.startswith(f"GO: The {joint}"), found.out
    assert "measured by hand, as the shop file says: compare the pieces before the glue" in (
        found.out
    )
    assert "Every gap and error that the machines make stays within what is allowed" in found.out
    assert "the length" not in program("proofread").err
    told = program("project", "chest").out
    assert "≡ difference" in told
    assert "nothing proves" not in told
    data = program("project", "chest", "--json").json["projects"][0]["joints"][0]
    assert data["made_on"]["length"] == ["by hand"]
    (length,) = [one for one in data["effects"] if one["fit"] == "length"]
    assert length["at_most"] is length["likely"] is None
    assert length["not_asked"].startswith("measured by hand")


def test_it_is_asked_of_no_point_and_prep_plans_none_for_it(program: Program) -> None:
    """A stop that is there, but not used for this joint, holds up nothing."""
    shop = METRIC + point("stop", "length")
    program.write("shop.toml", shop + project("case"))
    all_true(program)
    assert "stop is unproven" in program("glueup", "chest", "case").out
    program.write("shop.toml", shop + project("case", 'length = "by hand"'))
    assert program("glueup", "chest", "case").code == 0
    planned, _, left = program("prep", "chest").out.partition("Not for this project")
    assert "stop" not in planned
    assert "stop" in left


@pytest.mark.parametrize(
    "made_on", ['end_angle = "by hand"', 'length = ["by hand", "saw"]', 'mitre = "by hand"']
)
def test_only_lengths_are_made_by_hand_and_alone(program: Program, made_on: str) -> None:
    joint = "frame" if made_on.startswith("mitre") else "case"
    program.write("shop.toml", METRIC + project(joint, made_on))
    ran = program("proofread")
    assert '"by hand" is said of all lengths of a joint, and of nothing else' in ran.err
