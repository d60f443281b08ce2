"""What wears, what is done again and again, and what the records say of it."""
