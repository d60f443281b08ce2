"""The help on several benches, followed to the letter with roles of a server's own.

The rights are PostgreSQL's (documentation, 5.8 Privileges and ALTER DATABASE).
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

import shopboard.handbook
from tests.cli.program import Program
from tests.server import Server, database

WARNS = "This role owns the journal and could switch off what protects it"

HELP = (Path(shopboard.handbook.__file__).parent / "benches.txt").read_text("utf-8")


@pytest.fixture
def name(server: Server) -> Iterator[str]:
    """A database of nobody's; two roles that may not do everything."""
    with database("template0") as name:
        server.sql("CREATE ROLE shop_owner LOGIN; CREATE ROLE bench LOGIN", "postgres")
        try:
            yield name
        finally:
            server.sql("DROP OWNED BY bench, shop_owner", name)
            server.sql(f"ALTER DATABASE {name} OWNER TO owner", "postgres")
            server.sql("DROP ROLE bench; DROP ROLE shop_owner", "postgres")


def test_the_advice_leads_to_a_journal_and_only_its_owner_is_warned(
    program: Program, server: Server, name: str
) -> None:
    owner, bench = server.url(name, "shop_owner"), server.url(name, "bench")
    shop = ("--shop", str(program.shop), "--journal")
    ran = program.bare("status", "--new-journal", *shop, owner)
    assert ran.code == 6
    assert "no right to make tables" in ran.err
    assert "ALTER DATABASE NAME OWNER TO ROLE" in ran.err
    server.sql(f"ALTER DATABASE {name} OWNER TO shop_owner", "postgres")
    assert program.bare("status", "--new-journal", *shop, owner).code == 0
    for grant in (line.strip() for line in HELP.splitlines() if "GRANT " in line):
        server.sql(grant, name, "shop_owner")
    ran = program.bare("tag", "saw", "odd noise", *shop, owner)
    assert (ran.code, ran.err.count(WARNS)) == (0, 1)
    ran = program.bare("tag", "saw", "smells hot", *shop, bench)
    assert (ran.code, WARNS in ran.err) == (0, False)
    ran = program.bare("status", *shop, owner)  # records nothing
    assert (ran.code, WARNS in ran.err) == (0, False)


def test_a_database_that_is_not_there_is_made_for_its_owner(
    program: Program, server: Server
) -> None:
    shop = ("--shop", str(program.shop), "--journal", server.url("nowhere"))
    ran = program.bare("status", *shop)
    assert "--template=template0 --owner=OWNER NAME`" in ran.err
    assert "--owner=shop_owner" in HELP
    assert "createuser --pwprompt shop_owner" in HELP


def test_a_move_by_a_role_that_is_no_owner_begins_nothing_and_says_no_more_than_that(
    program: Program, server: Server, name: str
) -> None:
    """Onto a journal that holds the beginning of it."""
    owner, bench = server.url(name, "shop_owner"), server.url(name, "bench")
    server.sql(f"ALTER DATABASE {name} OWNER TO shop_owner", "postgres")
    program("tag", "saw", "odd noise")
    assert program.bare("move", str(program.journal), owner).code == 0
    for grant in (line.strip() for line in HELP.splitlines() if "GRANT " in line):
        server.sql(grant, name, "shop_owner")
    program("happened", "saw", "knocked")
    ran = program.bare("move", str(program.journal), bench)
    assert ran.code == 6
    assert "belongs to another role" in ran.err
    assert "Nothing was moved" in ran.err
    assert "cut short" not in ran.err
    assert "goes on" not in ran.err
    assert "goes on from there" in program.bare("move", str(program.journal), owner).err
