"""What can go wrong with the journal, in words for the person at the machine.

Every failure of this room is a `JournalError`. It carries what happened and
where (`title`), what to do about it (`advice`), and the exit code with which
a command ends because of it.
"""

from __future__ import annotations

# The names say what is the matter with the journal; "Error" at their end would add nothing.


class JournalError(Exception):
    """The journal could not do what was asked."""

    exit_code: int = 4
    """The code with which a command ends that cannot go on because of this."""

    uncertain: bool = False
    """Whether what was to be recorded may be on record all the same."""

    is_away: bool = False
    """Whether a server does not answer: once it does, the same can be tried again."""

    def __init__(self, title: str, advice: str) -> None:
        super().__init__(f"{title} {advice}")
        self.title = title
        """What happened, and to which file: one sentence."""
        self.advice = advice
        """What to do about it: a sentence or two."""


class JournalMissing(JournalError):  # noqa: N818
    """There is no journal at that place, and none was to be made."""

    exit_code = 4


class JournalUnfinished(JournalError):  # noqa: N818
    """A move into that place is not finished: nothing is read or recorded there until it is."""

    exit_code = 4


class JournalDiffers(JournalError):  # noqa: N818
    """The file is not the journal that was last open at its path; it can be read."""

    exit_code = 4

    def __init__(self, path: str, how: str, what: str) -> None:
        super().__init__(
            f"The journal {path} {what}.",
            "It can be read. Nothing is recorded in it until you say that it is the right one: "
            "`shopboard verify --as-it-is`, or 0 on the board.",
        )
        self.how = how
        """In one word: older, empty, other or fork."""
        self.what = what
        """What is different, to follow "this journal"."""


class JournalLocked(JournalError):  # noqa: N818
    """Another program held the journal for longer than one can wait."""

    exit_code = 5


class JournalMovedOn(JournalLocked):
    """Another program has recorded since what this rests on was read; nothing was recorded."""


class JournalTaken(JournalError):  # noqa: N818
    """Another entry of the same uid is there; nothing was recorded."""


class JournalCannotWrite(JournalError):  # noqa: N818
    """Nothing was recorded: read-only place, full disk, no permission, failing disk."""

    exit_code = 6


class JournalCannotRead(JournalError):  # noqa: N818
    """The disk or the permissions did not let the journal be read; it may well be whole."""

    exit_code = 6


class JournalDamaged(JournalError):  # noqa: N818
    """The file is not what was once recorded, or is no journal at all."""

    exit_code = 4


class JournalForeign(JournalError):  # noqa: N818
    """The path leads to something that belongs to another program."""

    exit_code = 4


class JournalNewer(JournalError):  # noqa: N818
    """A newer version of the program made this journal: it can be read, not written."""

    exit_code = 4
