"""Tests of what time does to a verdict."""
