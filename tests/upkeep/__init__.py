"""Tasks and cutters: what ages between two checks, and how it is put right."""
