"""Tests of what happens between checks: tasks, waits, use, the order of checking again."""
