"""Tests of the help by topic."""
