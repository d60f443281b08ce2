"""How every point, machine and the shop stand: now, or on a past day."""
