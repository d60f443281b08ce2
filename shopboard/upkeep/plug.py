"""How long a plug that was out may be taken to be out still. Pure."""

from __future__ import annotations

from datetime import datetime, timedelta

PLUG_HOLDS = timedelta(minutes=10)
"""After this pause the plug's state is asked again (our choice, no source)."""


def plug_is_doubtful(last: datetime, now: datetime) -> bool:
    """Tell whether somebody may have used the machine since.

    Where the clock was set back nobody knows how long the pause was: then, too.

    Args:
        last: when something was last recorded at the machine.
        now: the time.
    """
    return not timedelta(0) <= now - last <= PLUG_HOLDS
