"""What is done step by step at a machine, durable answer by answer."""
