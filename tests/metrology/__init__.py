"""The metrology room, against published values and independent computations."""
