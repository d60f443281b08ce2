"""What every room may need: words, dates, places of files, what is kept for the next start."""
