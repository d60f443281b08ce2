"""Run as ``python -m shopboard``."""

from shopboard.cli import console

if __name__ == "__main__":
    console()
