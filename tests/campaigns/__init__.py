"""Campaigns: long trials with a seed and a count, run by hand; the tests run a short slice."""
