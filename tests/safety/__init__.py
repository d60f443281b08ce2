"""Tests of safety rounds and tags: what was seen, and what is not to be used."""
