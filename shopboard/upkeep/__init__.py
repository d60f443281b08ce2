"""What happened to the machines since they were checked, and what wears: tasks and cutters."""
