"""Tests of how everything stands."""
