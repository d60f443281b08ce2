"""Tests of what every room may need."""
