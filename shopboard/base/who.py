"""The name of this bench or device, which everything that is recorded here says.

It tells benches of one shop apart and protects nothing. It is kept beside what this computer
remembers, not in the settings: those may be shared by two computers.
"""

from __future__ import annotations

import os
from pathlib import Path

from shopboard.base.text import first_unfit, harmless

WHO_VARIABLE = "SHOPBOARD_WHO"

MOST = 40
"""Characters of a name."""

_MOST_BYTES = 16 * MOST
"""No file of such a name is longer."""


class BadNameError(ValueError):
    """What cannot be the name of a bench; its words say why."""


def name_typed(text: str, what: str = "the name of a bench") -> str:
    """Give a name in the one form in which it is recorded and compared.

    Args:
        text: as typed.
        what: what it is called where it cannot be.

    Raises:
        BadNameError: when it can be none.
    """
    from unicodedata import normalize  # nearly no start asks

    name = normalize("NFC", " ".join(text.split()))
    if first_unfit(text.strip()) is not None or harmless(name) != name:
        raise BadNameError(f"{what} is plain words on one line, without control characters")
    if not 1 <= len(name) <= MOST or not any(map(str.isalnum, name)):
        raise BadNameError(f"{what} has 1 to {MOST} characters, a letter or a digit among them")
    return name


def who_is_here(option: str | None = None) -> str:
    """Give the name of this bench: by option, environment, or as kept here; empty: it has none.

    Args:
        option: the name that was given for this run.

    Raises:
        BadNameError: when one is given that can be none.
    """
    if option is not None:
        return name_typed(option, "--who")
    told = os.environ.get(WHO_VARIABLE)
    if told is not None:
        return name_typed(told, f"{WHO_VARIABLE} in the environment")
    return kept_name()


def kept_name() -> str:
    """Give the name that is kept for this computer; empty where none is, or none that can be."""
    try:
        with _file().open("rb") as opened:
            return name_typed(opened.read(_MOST_BYTES).decode().strip())
    except (OSError, ValueError):
        return ""


def keep_name(name: str) -> None:
    """Keep a name for this computer; an empty one takes away what is kept.

    Raises:
        BadNameError: when it can be none.
        OSError: when it cannot be written.
    """
    from shopboard.base.private import make_folders, new_file

    file = _file()
    if not name:
        file.unlink(missing_ok=True)
        return
    name = name_typed(name)
    make_folders(file.parent)
    half = file.with_name(f"{file.name}.{os.getpid()}")
    half.unlink(missing_ok=True)
    try:
        with new_file(half) as opened:
            opened.write(f"{name}\n".encode())
        half.replace(file)
    except OSError:
        half.unlink(missing_ok=True)
        raise


def shown_name(recorded: object) -> str:
    """Give a recorded name as it can be shown; empty where nothing was recorded that is one."""
    if not isinstance(recorded, str):
        return ""
    return harmless(" ".join(recorded.split()))[:MOST].strip()


def by_words(by: str) -> str:
    """Say who recorded something: ``by bench 2``; empty where nobody said."""
    return f"by {by}" if by else ""


def with_bench(words: str, by: str) -> str:
    """Give words with who recorded them: ``guard is off (by bench 2)``."""
    return f"{words} ({by_words(by)})" if by else words


def same_name(one: str, other: str) -> bool:
    """Tell whether two names are one bench's, in capitals or not."""
    return one.casefold() == other.casefold()


def _file() -> Path:
    from platformdirs import user_state_path

    return user_state_path("shopboard", appauthor=False) / "bench-name.txt"
