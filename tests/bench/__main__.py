"""Run with ``python -m tests.bench``."""

from __future__ import annotations

from tests.bench.measure import main

if __name__ == "__main__":
    main()
