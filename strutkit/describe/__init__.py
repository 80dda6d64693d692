"""What the builder states: units, records, door file, stock list."""
