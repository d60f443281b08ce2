"""Tests of how points wander."""
