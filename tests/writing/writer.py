"""Changes a shop file as a program of its own, to be stopped by whatever may befall it."""

from __future__ import annotations

import sys
from pathlib import Path

from shopboard.writing.saving import NotSavedError, save

if __name__ == "__main__":
    try:
        save(Path(sys.argv[1]), Path(sys.argv[2]).read_bytes(), Path(sys.argv[3]).read_bytes())
    except NotSavedError as error:
        sys.stdout.write(f"{error}\n")
        sys.exit(6)
