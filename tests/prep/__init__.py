"""Tests of what the errors do to the work, and of the prep day."""
