"""Folders of its own for whatever runs here: the user's shop, journal and settings stay apart."""

from __future__ import annotations

from pathlib import Path

SET_BY_USERS = ("SHOPBOARD_SHOP", "SHOPBOARD_JOURNAL", "SHOPBOARD_WHO", "NO_COLOR", "COLORFGBG")
"""What a user may have set, and nothing here may hear of."""


MANY_COLOURS = {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
"""What a terminal says that has every colour: no test hangs on where it is run."""


def own_folders(home: Path) -> dict[str, str]:
    """Give the environment that keeps everything below one folder."""
    below = {f"XDG_{name}_HOME": name.lower() for name in ("CONFIG", "DATA", "STATE", "CACHE")}
    below |= {name: name.lower() for name in ("APPDATA", "LOCALAPPDATA")}
    return {
        **dict.fromkeys(("HOME", "USERPROFILE"), str(home)),
        **{name: str(home / folder) for name, folder in below.items()},
    }
