"""Changing a shop file: in its text, and on the disk."""
