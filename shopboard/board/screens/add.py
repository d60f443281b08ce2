"""Adds a machine, point, tool, cutter, task, project or joint to the shop file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain, count
from typing import Any, ClassVar

from shopboard.board import doors
from shopboard.board.edit_words import called, explained_key
from shopboard.board.keys import BACK, DOWN, GO_ON, HELP, LEAVE_OUT, MORE, UP, Key
from shopboard.board.screens.value import ValueScreen, by_name
from shopboard.shop.declared import sorts
from shopboard.shop.problems import ShopFileError
from shopboard.shop.what_for.on_screen import on_screen
from shopboard.usual import lookup
from shopboard.usual.called import id_of_name
from shopboard.usual.offered import usual_tools
from shopboard.usual.parts import OFTEN, UsualCutter, UsualPoint, UsualTask, in_unit
from shopboard.writing.alone import refused_alone
from shopboard.writing.by_name import choices, ids_of
from shopboard.writing.edits import Add, at_path, stands
from shopboard.writing.offers import Offer, keys_to_add, offer
from shopboard.writing.opened import OpenedFile
from shopboard.writing.things import SORTS, Thing
from shopboard.writing.wishes import NotMeantError, Wish, added, settings_as

_MEASURED = ("thread", "pitch", "arm", "span", "backlash")
"""What nobody can know of a machine that he does not stand at: no screw is turned by a guess."""

_USUAL, _MORE, _OWN = "usual", "more", "one of my own"

_SHELF = "on the shelf"

_OFTEN, _WHEN_NEEDED, _OTHERWISE = "how often", "when needed", "otherwise"


class AddScreen(ValueScreen):
    """Asks for what the new thing must say, key by key; what is usual is offered first."""

    keys: ClassVar[tuple[Key, ...]] = (GO_ON, MORE, UP, DOWN, LEAVE_OUT, BACK, HELP)

    def __init__(self, file: OpenedFile, owner: Thing, sort: str) -> None:
        """Add something.

        Args:
            file: as it was read.
            owner: what it is to belong to.
            sort: what it is.
        """
        super().__init__(file, owner, "")
        self._sort = sort
        self._table = SORTS.get(sort, f"machine.point.{sort}")
        self._said: dict[str, list[str]] = {}
        self._is_timed = False
        """It was told how often a task is due, or that it never is by itself."""
        self._usual: Mapping[str, Mapping[str, Any]] = {}
        """What is usual there and not there yet, as the file would have it, by id."""

    def heading(self) -> str:
        """Say what is added, and what is asked."""
        name = self._file.title(self._thing)
        what = (
            f"{name}: {called(self._sort)}"
            if self._is_table
            else f"Add {called(self._sort)} to {name}"
        )
        listed = self._setting in ("", _USUAL, _MORE, _OFTEN)
        return what if listed else f"{what}: {self.word(self._setting)}"

    def word(self, key: str) -> str:
        """Say what a setting of it is called."""
        return on_screen(self._table, key)

    def explained(self) -> list[str]:
        """Explain the setting that is asked for."""
        return explained_key(self._table, self._setting)

    @property
    def _is_table(self) -> bool:
        """Whether it is a table of the thing's own: what sets a point."""
        return self._sort not in SORTS

    def begin(self) -> None:
        """Offer what is usual; else ask for the first key."""
        self._usual = dict(self._usual_here())
        if self._usual:
            options = tuple((ident, str(one.get("name", ""))) for ident, one in self._usual.items())
            words = "Usual, and not in the file yet:"
            self.ask(_USUAL, _choice(words, (*options, (_OWN, ""))), [])
        else:
            self._next()

    def _usual_here(self) -> Iterator[tuple[str, Mapping[str, Any]]]:
        """Give what machines of this sort usually have, and this one has not."""
        says, unit = at_path(self._file.data, self._thing.path), self.open_shop.shop.unit
        if self._is_table:
            yield from self._usual_sets()
        for words, tool in usual_tools(self._sort, unit):
            yield words, {**tool, "id": self._free(tool["id"])}
        if self._sort == "machine":
            for kind in filter(None, lookup.KINDS):
                one = lookup.machine(kind)
                ident = self._free(one.id)
                name = one.name if ident == one.id else f"{one.name} {ident.rpartition('-')[2]}"
                yield one.id, {"id": ident, "name": name, "kind": kind}
        if self._thing.sort != "machine" or says.get("kind", "") not in lookup.KINDS:
            return
        machine = lookup.machine(says.get("kind", ""))
        found: Mapping[str, Sequence[UsualPoint | UsualTask | UsualCutter]]
        found = {"point": machine.points, "task": machine.tasks, "cutter": machine.cutters}
        there = {one.get("id") for one in says.get(self._sort, ())}
        for part in found.get(self._sort, ()):
            if part.id in there:
                continue
            table = part.table(unit) if isinstance(part, UsualPoint) else in_unit(part.says, unit)
            table.pop("rests_on", None)
            rests = machine.rests_on(part.id, there) if isinstance(part, UsualPoint) else []
            yield part.id, {**table, **({"rests_on": rests} if rests else {})}

    def _whole(self, usual: Mapping[str, Any]) -> Mapping[str, Any]:
        """Give a machine with its usual points and tasks, as far as the tools prove them."""
        if self._sort != "machine":
            return usual
        from shopboard.prep.new_machine import usual_machine

        data = self._file.data
        drawer = at_path(data, ("drawer",)) if stands(data, ("drawer",)) else {}
        unit = self.open_shop.shop.unit
        return {**usual_machine(usual["kind"], usual["id"], drawer, unit), "name": usual["name"]}

    def _usual_sets(self) -> Iterator[tuple[str, Mapping[str, Any]]]:
        """Give what usually sets such a point, as far as it is known without its owner."""
        owner = next((one for one in self._file.things if one.path == self._thing.path[:-2]), None)
        kind = at_path(self._file.data, owner.path).get("kind", "") if owner else ""
        usual = lookup.machine(kind).point(self._thing.id) if kind in lookup.KINDS else None
        for sort, says in (usual.sets if usual else {}).items():
            told = in_unit({"kind": sort, **says}, self.open_shop.shop.unit)
            yield sort, {key: one for key, one in told.items() if key not in _MEASURED}

    def _moves_a_length(self) -> bool:
        """Tell whether what sets the point moves it by a length: such a screw has no arm."""
        point = self.open_shop.shop.points.get(self._thing.name)
        return point is not None and point.tolerance.kind == "length"

    def _free(self, ident: str) -> str:
        """Give an id that nothing beside it has."""
        there = {one.id for one in self._file.things if one.sort == self._sort}
        numbered = (f"{ident}-{number}" for number in count(2))
        return next(one for one in chain([ident], numbered) if one not in there)

    def set_to(self, words: list[str]) -> None:
        """Take what was said, and go on."""
        words = ids_of(self._file.data, self._sort, self._thing.name, self._setting, words)
        if not words:
            listed = self._offer is not None and self._offer.options
            self.refuse("nothing is ticked" if listed else "nothing is typed")
        elif self._setting == _USUAL and words != [_OWN]:
            usual = self._whole(self._usual[words[0]])
            if self._sort in ("cutter", "adjuster"):  # the rest nobody knows but its owner
                self._said = {key: [str(value)] for key, value in usual.items()}
                self._next()
            else:
                self._show(Wish(lambda _: [Add(self._path, usual)]))
        elif self._setting == _USUAL:
            self._next()
        elif self._setting == _MORE:
            self._ask_key(words[0])
        elif self._setting == _OFTEN:
            self._is_timed = True
            if words == [_OTHERWISE]:
                self._ask_key("every")
            else:
                self._said |= {} if words == [_WHEN_NEEDED] else {"every": words}
                self._next()
        elif why := refused_alone(self._table, self._setting, words, self.open_shop.shop.unit):
            self._refused = True
            self.refuse(why)
        else:
            self._said[self._setting] = words
            self._next()

    def keys_now(self) -> tuple[Key, ...]:
        """What is said can be left out where all of it is listed."""
        keys = super().keys_now()
        return keys if self._setting == _MORE else tuple(one for one in keys if one != LEAVE_OUT)

    def do_leave_out(self) -> None:
        """Leave out what is said under the cursor."""
        if self._setting != _MORE or self._offer is None:
            return
        key, _ = self._offer.options[self._cursor]
        if key in self._said:
            del self._said[key]
            self._next()
        else:
            self.refuse("nothing to change there")

    @property
    def _path(self) -> tuple[str | int, ...]:
        *above, key = SORTS[self._sort].split(".")
        return (*above, key) if self._thing.sort == "shop" else (*self._thing.path, key)

    def _next(self) -> None:
        keys = list(keys_to_add(self._table, self._said))
        if self._is_table and self._moves_a_length():
            keys = [one for one in keys if one != "arm"]
        key = "name" if "name" in keys else next(iter(keys), "")
        if key:
            self._ask_key(key)
            return
        if self._sort == "task" and not self._is_timed:
            often = [(one, "") for one in OFTEN]
            never = (_WHEN_NEEDED, "it is never due by itself")
            options = (*often, never, (_OTHERWISE, "type it"))
            self.ask(_OFTEN, _choice("How often is it due?", options), [])
            return
        try:
            if self._is_table:
                told = {f"{self._sort}.{key}": words for key, words in self._said.items()}
                wish = settings_as(self._file.data, self._thing, told)
            else:
                wish = added(self._file.data, self._thing, self._sort, self._said)
        except NotMeantError as error:
            self.refuse(str(error).splitlines()[0])
        else:
            self._show(wish)

    def _ask_key(self, key: str) -> None:
        there = self._said.get(key, [])
        if key == "id" and not there:
            name = "".join(self._said.get("name", ()))
            made = id_of_name(name)
            there = [self._free(made)] if made else []
        found = offer(self._table, key, self.open_shop.shop.unit)
        new = Thing(self._sort, (), f"{self._thing.name}.")
        named = choices(self._file.data, new, key) if self._sort in SORTS else ()
        self.ask(key, by_name(found, tuple(named)), there)
        beside = at_path(self._file.data, self._thing.path).get("cutter")
        if key == "where" and beside and not there:  # one of a kind is on the machine
            self._cursor = [one for one, _ in found.options].index(_SHELF) if found else 0
        self.repaint()

    def _show(self, wish: Wish) -> None:
        """Show the lines; where the reader does not take them, ask what else is to be said."""
        try:
            result = self._file.changed(self._thing, wish)
        except (NotMeantError, ShopFileError) as error:
            keys = sorts()[self._table].keys.values()
            options = tuple(
                (one.key, f"{self.word(one.key)}: {'; '.join(self._said.get(one.key, ('-',)))}")
                for one in keys
                if one.allowed
            )
            self.ask(_MORE, _choice("Not right yet. Which answer is to change?", options), [])
            self.refuse(str(error).splitlines()[0])
            return
        self.app.push_screen(doors.ChangedScreen(self._file, result, leaves=1))

    def do_back(self) -> None:
        """Go back one answer; from the first one, leave."""
        self._is_timed = False
        if self._said:
            key, words = self._said.popitem()
            self._ask_key(key)
            self._entry = "; ".join(words)
            return
        super().do_back()


def _choice(words: str, options: tuple[tuple[str, str], ...]) -> Offer:
    return Offer(words, "", "", "", options, several=False)
