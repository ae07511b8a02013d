"""What the engine costs, against the least that anybody would pay for the same answer."""
