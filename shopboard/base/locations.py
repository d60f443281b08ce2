"""Where the shop file and the journal are: option, environment, or the platform's folders."""

from __future__ import annotations

import os
from pathlib import Path

from shopboard.base.server_place import (
    BadPlaceError,
    JournalPlace,
    ServerPlace,
    names_a_server,
)

SHOP_VARIABLE = "SHOPBOARD_SHOP"
JOURNAL_VARIABLE = "SHOPBOARD_JOURNAL"


class NoFileNamedError(ValueError):
    """A name of a file that is empty: a mistake of a script, never a wish for the usual file."""


def _chosen(option: str | None, variable: str) -> str | None:
    """Give the name by the option, else by the environment; None where neither is given.

    Raises:
        NoFileNamedError: when it is empty.
    """
    name = os.environ.get(variable) if option is None else option
    if name is not None and not name.strip():
        what = f"{variable} in the environment" if option is None else "the name of a file"
        raise NoFileNamedError(f"{what} is empty; name a file, or leave it out")
    return name


def _path(chosen: str) -> Path:
    """Give a path as typed; an unknown ``~name`` stands for itself."""
    try:
        return Path(chosen).expanduser()
    except RuntimeError:
        return Path(chosen)


MOVES = "`shopboard move FROM TO` carries a journal onto a server, or from one"


def file_named(name: str, what: str = "a file is named here", more: str = "") -> Path:
    """Give the path of a file that a command is to read or to write; ``~/`` is the home folder.

    Args:
        name: as typed.
        what: that a file belongs there, as the beginning of a sentence.
        more: what else is to be said where a server is named.

    Raises:
        BadPlaceError: when a server is named.
    """
    if names_a_server(name):
        raise BadPlaceError("; ".join(filter(None, (f"{what}, and no server", more))))
    return Path(name).expanduser() if name.startswith("~/") else Path(name)


def shop_path(option: str | None) -> Path:
    """Give the shop file's path; nothing is created.

    Raises:
        NoFileNamedError: when it is named, and the name is empty.
        BadPlaceError: when a server is named.
    """
    chosen = _chosen(option, SHOP_VARIABLE)
    if chosen:
        file_named(chosen, "a shop is described in a file")
        return _path(chosen)
    from platformdirs import user_config_path

    return user_config_path("shopboard", appauthor=False) / "shop.toml"


def journal_path(option: str | None) -> JournalPlace:
    """Give where the journal is; nothing is created.

    Raises:
        NoFileNamedError: when it is named, and the name is empty.
        BadPlaceError: when it is named by a server's URL that is none.
    """
    chosen = _chosen(option, JOURNAL_VARIABLE)
    if chosen and names_a_server(chosen):
        return ServerPlace(chosen)
    return _path(chosen) if chosen else usual_journal()


def usual_journal() -> Path:
    """Give the path of the journal where none is named; nothing is created."""
    from platformdirs import user_data_path

    return user_data_path("shopboard", appauthor=False) / "journal.sqlite3"


def demo_folder() -> Path:
    """Give the folder of the demo where none is named; nothing is created."""
    return usual_journal().with_name("demo")


def kept_folder() -> Path:
    """Give the folder of what is kept for the next start; nothing is created."""
    from platformdirs import user_cache_path

    return user_cache_path("shopboard", appauthor=False)


def _memory_folder() -> Path:
    return log_path().parent.parent


def not_heeded(shop: str | None, journal: str | None) -> list[str]:
    """Say which of the environment's folders are passed over, where one is looked for in them.

    By the XDG base directory specification a path that is not absolute is ignored.

    Args:
        shop: the option for the shop file.
        journal: the option for the journal.
    """
    told = []
    for variable, option, other, place, what in (
        ("XDG_CONFIG_HOME", shop, SHOP_VARIABLE, shop_path, "shop file"),
        ("XDG_DATA_HOME", journal, JOURNAL_VARIABLE, journal_path, "journal"),
    ):
        value, chosen = os.environ.get(variable, "").strip(), option or os.environ.get(other)
        if value and not chosen and os.name == "posix" and not value.startswith("/"):
            told.append(
                f"{variable} is {value!r}, no absolute path, and is not heeded: the {what} is"
                f" {place(None)}."
            )
    for variable, what, where in (
        ("XDG_STATE_HOME", "what this computer remembers of journals", _memory_folder),
        ("XDG_CACHE_HOME", "what the board keeps for its next start", kept_folder),
    ):
        value = os.environ.get(variable, "").strip()
        if value and os.name == "posix" and not value.startswith("/"):
            told.append(
                f"{variable} is {value!r}, no absolute path, and is not heeded: {what} is in"
                f" {where()}."
            )
    return told


def answers_path(shop_file: Path) -> Path:
    """Give where the answers are that a shop file is going to be made of."""
    return shop_file.with_name(f"{shop_file.name}.answers")


def is_something_at(path: JournalPlace) -> bool:
    """Tell whether a file or a link is there, or what this account may not look at.

    What is on a server tells whoever opens it.
    """
    if isinstance(path, ServerPlace):
        return True
    try:
        path.lstat()
    except FileNotFoundError:
        return False
    except (OSError, ValueError):  # reading it says why not; ValueError: a NUL in the name
        return True
    return True


def is_folder(path: Path) -> bool:
    """Tell whether a folder is there that this account may look at."""
    try:
        return path.is_dir()
    except OSError:
        return False


def log_path() -> Path:
    """Give the path of the report that a crash leaves; nothing is created."""
    from platformdirs import user_log_path

    return user_log_path("shopboard", appauthor=False) / "crash.txt"


def sample_path() -> Path:
    """Give the sample shop: in an installed program beside the package, in a clone at the top."""
    package = Path(__file__).parents[1]
    installed = package / "sample_shop.toml"
    return installed if installed.exists() else package.parent / "sample_shop.toml"
