"""What a page says, worked out from the rows before a template writes it."""
