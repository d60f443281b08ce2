"""What was begun in the shop, and what comes next in it."""
