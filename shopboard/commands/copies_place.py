"""Where copies of the journal go by themselves."""

from __future__ import annotations

from pathlib import Path

from shopboard.base.locations import file_named
from shopboard.base.server_place import JournalPlace
from shopboard.commands.output import say
from shopboard.journal.copies import folder_beside


def copies_folder(shop_file: Path, journal: JournalPlace) -> Path:
    """Give the folder for copies that the shop file names, else the one beside the journal.

    A shop file that cannot be used keeps nobody from a copy.
    """
    from shopboard.checks.registry import names
    from shopboard.shop.problems import ShopFileError
    from shopboard.shop.reader import read_shop

    try:
        named_there = read_shop(shop_file, names()).shop.copies
    except ShopFileError:
        say("The shop file cannot be used, so copies are looked for and made beside the journal.")
        named_there = ""
    return copies_place(shop_file, named_there) if named_there else folder_beside(journal)


def copies_place(shop_file: Path, name: str) -> Path:
    """Give the folder for copies that a shop file names, from its own folder on."""
    return shop_file.absolute().parent / file_named(name, "`copies` names a folder")
