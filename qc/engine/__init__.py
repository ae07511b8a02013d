"""What is true: judges readings against limits. Plain Python: no clock, database or network."""

ENGINE = "engine 1.0.0"
