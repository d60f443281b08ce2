"""Tests of what comes next in the shop."""
