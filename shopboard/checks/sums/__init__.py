"""Sums of the bench that are no checks: a file each, named as `reckon` calls it."""
