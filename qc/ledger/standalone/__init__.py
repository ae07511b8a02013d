"""The verifier that goes with an export; it runs by itself, and nothing here imports it."""
