"""Tests of what happens between checks: tasks, cutters, waits, use, the order of checking."""
