"""Tests of what is done step by step."""
