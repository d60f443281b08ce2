"""A shop file that is open to be changed: what it says, and a change of it from wish to disk."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from pathlib import Path as FilePath
from typing import get_args

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.quantity import Unit
from shopboard.shop.files import UnreadableFileError, decode, read_bytes
from shopboard.shop.model import Shop
from shopboard.shop.parse import parse
from shopboard.shop.problems import ShopFileError, SourceText
from shopboard.shop.report import Report
from shopboard.usual.filling import SIGNS, filled
from shopboard.writing.edits import Data, NoSuchPlaceError, at_path, stands
from shopboard.writing.layout import Layout
from shopboard.writing.meant import NotTakenError, Proofread, Rules, proofread
from shopboard.writing.order import rank
from shopboard.writing.rewrite import MARK, InPlaceError
from shopboard.writing.saving import save
from shopboard.writing.spelling import spelled
from shopboard.writing.things import Thing, things
from shopboard.writing.unit import units_written
from shopboard.writing.wishes import NotMeantError, Wish, keys_at


class SetThere(NamedTuple):
    """What is set of a thing."""

    line: int
    name: str
    """Its key; of a table below it with a dot."""
    written: str
    """Its value, as it is written there."""


@dataclass(frozen=True)
class OpenedFile:
    """The bytes of a shop file, and what they say."""

    path: FilePath
    old: bytes
    rules: Rules

    @cached_property
    def text(self) -> str:
        """What is written there."""
        return self.old.decode("utf-8")

    @cached_property
    def layout(self) -> Layout:
        """Where in it each value stands."""
        return Layout(self.text.removeprefix(MARK))

    @property
    def data(self) -> Data:
        """Its values."""
        return self.layout.data

    @cached_property
    def things(self) -> tuple[Thing, ...]:
        """All that bears an id, and the shop."""
        return tuple(things(self.data))

    def thing(self, sort: str, name: str) -> Thing | None:
        """Find a thing."""
        return next((one for one in self.things if (one.sort, one.name) == (sort, name)), None)

    def title(self, thing: Thing) -> str:
        """Give what a person calls it."""
        return str(at_path(self.data, thing.path).get("name") or thing.name)

    def renamed(self, before: OpenedFile, sort: str, name: str) -> str:
        """Give the new name of what has another id since, and is else the same; or the old name."""
        old = before.thing(sort, name)
        new = next((one for one in self.things if old and one.path == old.path), None)
        if old is None or new is None or new.sort != sort:
            return name
        says = (at_path(before.data, old.path), at_path(self.data, new.path))
        first, second = ({**one, "id": "", "was": ""} for one in says)
        return new.name if first == second else name

    def settings(self, thing: Thing) -> Iterator[SetThere]:
        """Give what is set of a thing, in the order of the file, tables below it included."""
        source = SourceText(self.layout.text)
        for place in self.layout.pairs:
            below = place[len(thing.path) :]
            if place[: len(thing.path)] != thing.path or any(isinstance(one, int) for one in below):
                continue
            if isinstance(at_path(self.data, place), dict) or not below:
                continue
            span = self.layout.spans[place]
            written = self.layout.text[span.start : span.end]
            yield SetThere(source.line_of(span.start), ".".join(map(str, below)), written)

    def usual(self, thing: Thing) -> dict[str, str]:
        """Give what goes without saying of a thing, as the file would have it, by its settings."""
        if thing.sort not in SIGNS:
            return {}
        own, place = at_path(self.data, thing.path), thing.path[2:]
        told = self.data["shop"]["unit"] if stands(self.data, ("shop", "unit")) else None
        unit = next((one for one in get_args(Unit) if one == told), get_args(Unit)[0])
        meant = at_path(filled(at_path(self.data, thing.path[:2]), unit), place)
        new = {key: value for key, value in meant.items() if key not in own}
        sizes = new.pop("sizes", {})
        new |= {f"sizes.{key}": value for key, value in sizes.items()}
        keys = sorted(new, key=lambda key: rank(thing.path, key.partition(".")[0]))
        return {key: spelled(new[key]) for key in keys}

    def not_set(self, thing: Thing) -> list[str]:
        """Give the other keys that may stand there."""
        there = at_path(self.data, thing.path)
        return [key for key in keys_at(thing) if key not in there]

    def changed(self, thing: Thing, wish: Wish) -> Proofread:
        """Make a change, and let the shop's reader look at it; nothing is written.

        Raises:
            NotMeantError: when the new file would not be right; one sentence a line says why.
            ShopFileError: when the old one is not.
        """
        result = self._proofread(wish)
        if thing.sort == "shop" and "unit" in wish.typed:
            return self._with_lengths_kept(wish, result)
        return result

    def _proofread(self, wish: Wish) -> Proofread:
        try:
            return proofread(self.text, self.rules, *wish)
        except (NoSuchPlaceError, InPlaceError, NotTakenError) as error:
            raise NotMeantError(str(error)) from None

    def _with_lengths_kept(self, wish: Wish, result: Proofread) -> Proofread:
        """Give another unit to the shop alone: lengths that had none keep the old one.

        Raises:
            NotMeantError: when a length would be another one all the same: of a file beside this
                one, or left out.
        """
        try:
            before = self.rules.read(self.text).shop
        except ShopFileError:  # it had none that could be read
            return result
        if self._differs(result, before):
            puts = units_written(self.text, self.data, self.rules, before)
            result = self._proofread(Wish(lambda chosen: [*wish.build(chosen), *puts], wish.typed))
        if self._differs(result, before):
            left = "lengths that are left out, or have no unit in a file beside this one"
            raise NotMeantError(f"{left}, would change with it; change both with an editor")
        return result

    def _differs(self, result: Proofread, before: Shop) -> bool:
        """Tell whether anything but the unit is another one."""
        return replace(self.rules.read(result.new.text).shop, unit=before.unit) != before

    def save(self, result: Proofread, when: datetime) -> FilePath | None:
        """Put the new text in its place; give where the old one is kept, None where nothing is new.

        Raises:
            NotSavedError: when that cannot be.
        """
        if not result.new.lines:
            return None
        return save(self.path, self.old, result.new.text.encode(), when)


def open_file(path: FilePath, rules: Rules) -> OpenedFile:
    """Read a shop file to change it.

    Raises:
        ShopFileError: when it cannot be read, or is no TOML.
    """
    try:
        old, _ = read_bytes(path)
        parse(decode(old), str(path), Report(rules.checks))
    except UnreadableFileError as error:
        raise ShopFileError(str(path), (error.problem,)) from None
    return OpenedFile(path, old, rules)
