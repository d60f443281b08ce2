"""Points rest on points; a circle of them could never be checked in any order."""

from __future__ import annotations

from tests.shop.texts import SHOP, load, only_problem, problems_of

HEAD = SHOP[: SHOP.index("[[machine]]")]


def shop_of(*points: tuple[str, list[str]]) -> str:
    """Give a shop with these points (``machine.point``) and what each rests on."""
    text, machine = HEAD, ""
    for name, rests_on in points:
        if name.partition(".")[0] != machine:
            machine = name.partition(".")[0]
            text += f'[[machine]]\nid = "{machine}"\nname = "{machine}"\n'
        ident = name.partition(".")[2]
        text += f'[[machine.point]]\nid = "{ident}"\nname = "The {ident}"\ncheck = "square"\n'
        text += 'datum = "table"\nface = "face"\nlever = 3\ntolerance = "0.1 deg"\n'
        text += f"rests_on = {rests_on!r}\n"
    return text


def test_full_names() -> None:
    """References are kept as full names, whether the machine was written or not."""
    shop = load(
        shop_of(("saw.blade", []), ("saw.fence", ["blade"]), ("mitre.stop", ["saw.fence"]))
    ).shop
    assert shop.points["saw.fence"].rests_on == ("saw.blade",)
    assert shop.points["mitre.stop"].rests_on == ("saw.fence",)


def test_two() -> None:
    """Two points that rest on each other."""
    problem = only_problem(shop_of(("saw.a", ["b"]), ("saw.b", ["a"])))
    assert problem.what == "saw.a depends on saw.b, which depends on saw.a"


def test_over_machines() -> None:
    """A circle over several machines is told as one chain, at the reference that closes it."""
    text = shop_of(("saw.a", ["jointer.b"]), ("jointer.b", ["planer.c"]), ("planer.c", ["saw.a"]))
    problem = only_problem(text)
    assert problem.what == (
        "saw.a depends on jointer.b, which depends on planer.c, which depends on saw.a"
    )
    assert problem.source_line == "rests_on = ['saw.a']"


def test_itself() -> None:
    """A point that rests on itself is said plainly, not as a circle."""
    assert only_problem(shop_of(("saw.a", ["a"]))).what == '"The a" depends on itself'


def test_two_circles() -> None:
    """Two circles are two problems, each told once."""
    text = shop_of(("saw.a", ["b"]), ("saw.b", ["a"]), ("saw.c", ["d"]), ("saw.d", ["c"]))
    assert [problem.what[:5] for problem in problems_of(text)] == ["saw.a", "saw.c"]


def test_tail_into_a_circle() -> None:
    """What leads into a circle is no part of it."""
    text = shop_of(("saw.x", ["a"]), ("saw.a", ["b"]), ("saw.b", ["a"]))
    assert only_problem(text).what == "saw.a depends on saw.b, which depends on saw.a"


def test_sharing_is_no_circle() -> None:
    """Two ways from one point to another are fine."""
    text = shop_of(("saw.a", ["b", "c"]), ("saw.b", ["d"]), ("saw.c", ["d"]), ("saw.d", []))
    assert not load(text).warnings


def test_long_chain() -> None:
    """A chain of thousands of points is followed without running out of stack."""
    points = [(f"saw.p{i}", [f"p{i + 1}"]) for i in range(2000)]
    assert len(load(shop_of(*points, ("saw.p2000", []))).shop.points) == 2001
    assert "saw.p0 depends on saw.p1" in only_problem(shop_of(*points, ("saw.p2000", ["p0"]))).what
