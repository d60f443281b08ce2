"""The next project: what it needs of the machines, the day that gets them ready, the answer."""
