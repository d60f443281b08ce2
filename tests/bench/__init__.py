"""How fast the board is: first frame and key to repaint, against an empty application."""
