"""Tests of the shop file."""
