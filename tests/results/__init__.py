"""Tests of results as they are kept."""
