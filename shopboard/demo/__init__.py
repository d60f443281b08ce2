"""Two years of records for a shop, made up: as its points might have stood, felt by a person."""
