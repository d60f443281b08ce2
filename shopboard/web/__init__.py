"""The board and how all stands, to a browser in the shop: who may come in, and what is shown."""
