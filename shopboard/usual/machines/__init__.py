"""What is usual of each sort of machine: one file each, which holds a `MACHINE`."""
