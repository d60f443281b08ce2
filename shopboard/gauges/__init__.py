"""Gauges that send over a serial line: each heard in a thread of its own."""
