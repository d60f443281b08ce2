"""Changing the shop file: in its text alone, proofread before it takes the file's place."""
