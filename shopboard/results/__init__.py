"""A check's result as it is kept, and what is known of the tools and the hand behind it."""
