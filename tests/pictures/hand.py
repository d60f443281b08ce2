"""Whoever stands at the board while pictures are taken: opens screens, finds what they are of."""

from __future__ import annotations

from dataclasses import dataclass

from shopboard.board.screens.base import ShopScreen
from shopboard.open_shop import OpenShop
from shopboard.results.record import CheckRecord
from shopboard.shop.machine import Machine, Point
from shopboard.standing.model import MachineStanding, PointStanding
from tests.board.conftest import Board


class NotThereError(Exception):
    """This shop has nothing that the screen could be of."""


@dataclass
class Hand:
    """It leads to a screen in whatever shop is open."""

    board: Board

    @property
    def shop(self) -> OpenShop:
        """The open shop."""
        return self.board.app.open_shop

    async def show(self, screen: ShopScreen) -> None:
        """Put a screen on top."""
        self.board.app.push_screen(screen)
        await self.board.settle()

    async def do(self, action: str, *given: object) -> None:
        """Do what a key of the screen on top does, whichever key that is."""
        top = self.board.app.top
        assert top is not None
        getattr(top, f"do_{action}")(*given)
        await self.board.settle()

    def machine(self, *, tagged: bool = False, cutters: bool = False) -> MachineStanding:
        """Find a machine with points, or the one that is asked for."""
        for one in self.shop.standing.machines:
            if bool(one.tag) == tagged and one.points and (one.cutters or not cutters):
                return one
        raise NotThereError("no such machine")

    def without_points(self) -> Machine:
        """Find what has tasks and no points."""
        for one in self.shop.standing.machines:
            if not one.points:
                return one.machine
        raise NotThereError("every machine has points")

    def point(self, *states: str) -> PointStanding:
        """Find a point in one of these states, with results but where it is unproven."""
        for state in states:
            for machine in self.shop.standing.machines:
                for one in machine.points:
                    if one.state == state and not machine.tag:
                        return one
        raise NotThereError(f"no point is {' or '.join(states)}")

    def checked_by(self, *methods: str) -> Point:
        """Find a point that is checked by one of these methods before any other."""
        for machine in self.shop.standing.machines:
            for one in machine.points:
                if one.point.checks[0] in methods and not machine.tag:
                    return one.point
        raise NotThereError(f"nothing is checked by {' or '.join(methods)}")

    def newest(self, *states: str) -> tuple[PointStanding, CheckRecord]:
        """Find a point and its newest result."""
        found = self.point(*states)
        return found, self.shop.history(found.point.full_name, 1)[0]

    def project(self) -> str:
        """Find a project with joints."""
        for one in self.shop.shop.projects:
            if one.joints:
                return one.id
        raise NotThereError("no project has joints")
