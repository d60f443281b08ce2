"""Tests of the guided checks."""
