"""The screens of the board, one a file."""
