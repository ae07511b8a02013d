"""What is true: judges readings against their limits. Plain Python, no clock, no database, no network."""

ENGINE = "engine 1.0.0"
