"""The shortest day for one person, as jobs with waits; it knows nothing of shops."""
