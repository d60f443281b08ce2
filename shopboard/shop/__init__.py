"""The shop file: what is there, as a typed frozen model, and every problem with its place."""
