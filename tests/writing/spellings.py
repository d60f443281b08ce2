"""The data of a shop in any spelling that a person, or another program, might have given it.

Every remark is a different one, and it is known what each stands in. One value can be marked, so
that a test knows where it stands without looking for it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from random import Random
from typing import Any

from shopboard.shop.report import Path

OPEN, CLOSE = "\ue000", "\ue001"
"""Before and behind the value that is marked; for private use, so that no text has them."""


class Speller:
    """Writes data as text by chance."""

    def __init__(self, chance: Random, marked: Path | None = None, *, plain: bool = False) -> None:
        """Take the dice.

        Args:
            chance: the dice.
            marked: path of the value to be marked.
            plain: tables get headers, as in the sample; the rest by chance all the same.
        """
        self.chance, self.marked, self.plain = chance, marked, plain
        self.remarks: dict[str, Path] = {}
        """What each remark stands in."""

    def text(self, data: Mapping[str, Any]) -> str:
        """Write a whole file."""
        text = self._remark((), "\n") + "\n" + self._tables(data, ())
        if self._by_chance(0.3):
            text = text.rstrip("\n")
        if self._by_chance(0.3):
            text = text.replace("\n", "\r\n")
        return "\ufeff" + text if self._by_chance(0.2) else text

    def _by_chance(self, how_likely: float) -> bool:
        return self.chance.random() < how_likely

    def _remark(self, path: Path, end: str) -> str:
        if not self._by_chance(0.3):
            return ""
        word = f"remark {len(self.remarks)} = [x]"
        self.remarks[word] = path
        return f"{self.chance.choice(['# ', '  # ', '#'])}{word}{end}"

    def _tables(self, table: Mapping[str, Any], path: Path) -> str:
        """Write what stands below a header: settings, then tables with headers."""
        lines, below = "", ""
        for key, value in table.items():
            here = (*path, key)
            if isinstance(value, dict):
                if self._headed():
                    header = f"{self._gap()}[{self._header(here)}]{self._end(here)}"
                    below += header + self._tables(value, here)
                elif self._by_chance(0.5) and value and not self._has_tables(value):
                    for name, one in value.items():
                        dotted = f"{self._key(key)}.{self._key(name)}"
                        lines += self._line(dotted, one, (*here, name))
                else:
                    lines += self._line(self._key(key), value, here)
            elif self._is_list_of_tables(value) and key != "steps" and self._headed():
                for index, one in enumerate(value):
                    there = (*here, index)
                    header = f"{self._gap()}[[{self._header(here)}]]{self._end(there)}"
                    below += header + self._tables(one, there)
            else:
                lines += self._line(self._key(key), value, here)
        return lines + below

    def _headed(self) -> bool:
        return self.plain or self._by_chance(0.85)

    @staticmethod
    def _is_list_of_tables(value: object) -> bool:
        return isinstance(value, list) and bool(value) and all(isinstance(v, dict) for v in value)

    def _has_tables(self, table: Mapping[str, Any]) -> bool:
        return any(isinstance(one, dict) for one in table.values())

    def _gap(self) -> str:
        remark = self._remark((), "\n")
        return self.chance.choice(["", "\n", "\n\n", "\n   \n"]) + remark + ("\n" if remark else "")

    def _end(self, path: Path) -> str:
        remark = self._remark(path, "")
        return f"{self.chance.choice([' ', chr(9)]) if remark else ''}{remark}\n"

    def _header(self, path: Path) -> str:
        names = [self._key(part) for part in path if isinstance(part, str)]
        return self.chance.choice([".", " . "]).join(names)

    def _key(self, key: str) -> str:
        ways = [key, key, key, f'"{key}"', f"'{key}'"]
        return self.chance.choice(ways)

    def _line(self, key: str, value: object, path: Path) -> str:
        indent = self.chance.choice(["", "", "  ", "\t"])
        equals = self.chance.choice([" = ", "=", "  =\t"])
        line = f"{indent}{key}{equals}{self.value(value, path)}{self._end(path)}"
        return self.chance.choice(["", "", "\n"]) + line

    def value(self, value: object, path: Path, *, lines: bool = True) -> str:
        """Write a value."""
        word = self._value(value, path, lines=lines)
        return f"{OPEN}{word}{CLOSE}" if path == self.marked else word

    def _value(self, value: object, path: Path, *, lines: bool) -> str:
        if isinstance(value, bool):
            return str(value).lower()
        if isinstance(value, str):
            return self._string(value)
        if isinstance(value, dict):
            pairs = [
                f"{self._key(key)} = {self.value(one, (*path, key), lines=False)}"
                for key, one in value.items()
            ]
            gap = self.chance.choice(["", " "])
            return f"{{{gap}{', '.join(pairs)}{gap}}}"
        if isinstance(value, list):
            return self._list(value, path, lines=lines)
        return value.isoformat() if isinstance(value, date) else str(value)

    def _string(self, text: str) -> str:
        ways = [json.dumps(text, ensure_ascii=False)] * 3
        if text.isprintable():
            ways += [f"'{text}'", f"'''{text}'''"] if "'" not in text else []
            ways += [f'"""{text}"""'] if '"' not in text and "\\" not in text else []
        return self.chance.choice(ways)

    def _list(self, value: list[Any], path: Path, *, lines: bool) -> str:
        items = [self.value(one, (*path, i), lines=lines) for i, one in enumerate(value)]
        if not lines or not items or self._by_chance(0.5):
            gap = self.chance.choice(["", " "])
            return f"[{gap}{', '.join(items)}{gap}]"
        text = f"[{self._end(path)}"
        for index, item in enumerate(items):
            last = index == len(items) - 1
            comma = "," if not last or self._by_chance(0.6) else ""
            break_here = last or self._by_chance(0.6)
            text += f"    {item}{comma}{self._end((*path, index)) if break_here else ' '}"
        return f"{text}]"


def unmarked(text: str) -> str:
    """Give a text as it stands in a file."""
    return text.replace(OPEN, "").replace(CLOSE, "")


def around(text: str) -> tuple[str, str, str]:
    """Give what stands before the marked value, the value, and what stands behind it."""
    before, _, rest = text.partition(OPEN)
    value, _, behind = rest.partition(CLOSE)
    return before, value, behind
