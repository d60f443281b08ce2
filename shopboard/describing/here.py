"""What is usual where this computer stands: its unit and its money, by its language."""

from __future__ import annotations

import os
import re
from collections.abc import Mapping

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.quantity import Unit

_INCH = ("US", "LR", "MM", "CA")
"""Where workshops mostly measure in inches; common practice, no source."""

_MONEY = {
    **dict.fromkeys(
        (
            *("AT", "BE", "CY", "DE", "EE", "ES", "FI", "FR", "GR", "HR", "IE", "IT", "LT", "LU"),
            *("LV", "MT", "NL", "PT", "SI", "SK"),
        ),
        "euros",
    ),
    **dict.fromkeys(("US", "CA", "AU", "NZ"), "dollars"),
    **dict.fromkeys(("SE", "NO", "DK", "IS"), "kr"),
    **dict.fromkeys(("CH", "LI"), "francs"),
    "GB": "pounds",
    "PL": "zł",
    "CZ": "Kč",
    "HU": "forints",
    "JP": "yen",
    "IN": "rupees",
    "ZA": "rand",
}
"""What is paid with there, in the words of the place; ISO 3166-1 says what each code means."""


class Here(NamedTuple):
    """What is taken for a shop unless it is told otherwise."""

    unit: Unit = "mm"
    money: str = "euros"
    """Empty: nothing tells which."""


def here(environment: Mapping[str, str] = os.environ) -> Here:
    """Give what is usual where the computer stands; by POSIX the first of three settings counts."""
    unit, _ = of_locale(_told(environment, "LC_MEASUREMENT"))
    _, money = of_locale(_told(environment, "LC_MONETARY"))
    return Here(unit, money)


def _told(environment: Mapping[str, str], setting: str) -> str:
    names = ("LC_ALL", setting, "LANG")
    return next((environment[name] for name in names if environment.get(name)), "") or _system()


def of_locale(name: str) -> Here:
    """Give what is usual by the name of a locale: ``en_GB.UTF-8``; of none, an inch shop."""
    found = re.match(r"[A-Za-z]{2,3}[_-](?:[A-Za-z]{4}[_-])?([A-Za-z]{2})\b", name)
    if found is None:
        return Here("inch", "")
    country = found[1].upper()
    return Here("inch" if country in _INCH else "mm", _MONEY.get(country, "money"))


def _system() -> str:
    import locale

    return locale.getlocale()[0] or ""
