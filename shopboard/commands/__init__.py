"""The commands, one a file: data to stdout, words to stderr, an exit code back."""
