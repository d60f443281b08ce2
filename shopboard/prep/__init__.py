"""What the next project needs, and the day on which the shop is made ready for it."""
