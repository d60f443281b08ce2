"""Makes or changes a shop file as a program of its own, to be stopped by what may befall it."""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path

from shopboard.writing.saving import NotSavedError, create, save

if __name__ == "__main__":
    try:
        shop, *data = map(Path, sys.argv[1:])
        if len(data) == 1:
            create(shop, data[0].read_bytes())
        else:
            save(shop, data[0].read_bytes(), data[1].read_bytes(), datetime(2027, 2, 1, tzinfo=UTC))
    except NotSavedError as error:
        sys.stdout.write(f"{error}\n")
        sys.exit(6)
