"""From the machines' errors to the work: what fits, what each point needs, and the prep day."""
