"""A shop is described by answering one question after the other; a shop file comes out."""
