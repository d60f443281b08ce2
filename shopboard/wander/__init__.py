"""How a point wanders between settings, and how long its newest result is believed."""
