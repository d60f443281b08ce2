"""A shop file that is read anew when it changes; a broken one leaves its last good reading."""

from __future__ import annotations

from pathlib import Path

from shopboard.checks import registry
from shopboard.shop.files import stamp_of
from shopboard.shop.kept import Loaded, keep_shop, kept_shop
from shopboard.shop.model import Shop
from shopboard.shop.problems import Problem, ShopFileError


class WatchedShop:
    """A shop file, read at least once."""

    def __init__(self, path: Path, *, thorough: bool) -> None:
        """Read it, or take what an earlier start kept of it.

        Args:
            path: the file.
            thorough: look at what follows from the methods, too, which takes their imports.

        Raises:
            ShopFileError: when it cannot be used.
        """
        self.path = path
        self.closer = thorough
        """Whether what follows from the methods is looked at, too."""
        kept = None if thorough else kept_shop(path)
        self._read_closer = thorough or kept is not None
        self._loaded = kept or self._read()
        self.problems: tuple[Problem, ...] = ()
        """What is wrong with the file on disk while an earlier reading of it stands."""
        self.stamp: object = self._loaded.stamp
        """Of the file as it was last looked at."""
        self._beside: dict[Path, object] = dict(self._loaded.beside)  # files it names: their stamps
        self.times = 0
        """How often it was read anew since; each time, what follows from it may be another."""

    @property
    def shop(self) -> Shop:
        """The last good reading."""
        return self._loaded.shop

    @property
    def warnings(self) -> tuple[Problem, ...]:
        """What is odd in it but can be used."""
        return self._loaded.warnings

    @property
    def digest(self) -> str:
        """Its checksum."""
        return self._loaded.digest

    def _read(self) -> Loaded:
        from shopboard.shop.reader import read_shop

        return read_shop(self.path, registry.names(), registry.facts() if self.closer else None)

    def look(self) -> bool:
        """Read the file when its time or size changed; a broken one leaves the shop as it was."""
        stamp = stamp_of(self.path)
        beside = {path: stamp_of(path) for path in self._beside}
        if stamp == self.stamp and beside == self._beside:
            return False
        self.stamp = stamp
        try:
            loaded = self._read()
        except ShopFileError as error:
            self.problems = error.problems
            self._beside = dict(beside if error.beside is None else error.beside)
            return True
        self._loaded, self.problems = loaded, ()
        self.stamp, self._beside = loaded.stamp, dict(loaded.beside)
        if self.closer:
            self._read_closer = True
            keep_shop(self.path, loaded)
        self.times += 1
        return True

    def look_closer(self) -> bool:
        """From now on, look at what follows from the methods, too; give whether it was read."""
        if self.closer:
            return False
        self.closer = True
        if self._read_closer:
            return False
        self.stamp = None
        return self.look()
