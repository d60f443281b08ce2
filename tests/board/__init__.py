"""Tests of the board: keys pressed, screens read."""
