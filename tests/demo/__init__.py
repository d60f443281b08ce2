"""Tests of the demo: two years that are made up, held against what was planted in them."""
