"""A shop is described from the board: begun or gone on with, written, and its records made."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopboard.board import doors
from shopboard.describing.begun import begun
from shopboard.describing.draft import DraftError
from shopboard.describing.finish import is_ours, record, write
from shopboard.describing.reading import NotRightError
from shopboard.journal import JournalError
from shopboard.writing.saving import NotSavedError

if TYPE_CHECKING:
    from shopboard.board.app import BoardApp
    from shopboard.board.screens.base import ShopScreen
    from shopboard.describing.description import Description


def begin_describing(screen: ShopScreen) -> None:
    """Open the questions over another screen."""
    try:
        description = begun(screen.board.shop_file, screen.board.today)
    except DraftError as error:
        screen.refuse(str(error))
        return
    screen.app.push_screen(doors.DescribeScreen(description))


def write_described(screen: ShopScreen, description: Description) -> bool:
    """Write the shop file and open it; tell whether that is done."""
    board = screen.board
    try:
        write(description)
    except (NotRightError, NotSavedError, DraftError) as error:
        where = f"The answers are kept beside it, in {description.draft.path.name}"
        screen.refuse(f"NOT WRITTEN: {error}. {where}; Enter tries again.")
        return False
    description.close()
    screen.app.pop_screen()
    board.look_again()
    return True


def finish_described(board: BoardApp) -> None:
    """Record what was told of the days before, once the shop is open; say what is first."""
    try:
        description = begun(board.shop_file, board.today)
    except DraftError:
        return  # another program does it
    try:
        if description.question is not None or not is_ours(description):
            return
        open_shop = board.open_shop
        record(description, open_shop.journal, open_shop.shop, open_shop.now())
        open_shop.refresh()
    except (JournalError, DraftError, NotRightError) as error:
        if board.top is not None:
            why = error.title if isinstance(error, JournalError) else f"{error}."
            board.top.refuse(
                f"What was done before is not recorded: {why} The next start tries again."
            )
        return
    finally:
        description.close()
    board.push_screen(doors.DescribedScreen())
