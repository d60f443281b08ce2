"""What time does to a verdict: how each point wandered, what was done since, and what to hand on.

Plain data in, plain data out; what reads or records takes the journal last.
"""
