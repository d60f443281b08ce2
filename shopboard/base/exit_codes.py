"""What the program's exit code means; part of its interface."""

ALL_RIGHT = 0
NOT_TRUE = 1
"""Something is not true; only `status --exit-code` says so."""
HOLD = 1
"""The answer before a glue-up is to hold."""
USAGE = 2
SHOP_FILE = 3
JOURNAL = 4
"""The journal is not there, not the one of last time, damaged, foreign, or of a newer program."""
LOCKED = 5
CANNOT_WRITE = 6
CRASH = 70
HUNG_UP = 129
"""The terminal was closed."""
INTERRUPTED = 130
"""Ctrl+C; other signals: 128 and their number."""
