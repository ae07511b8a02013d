"""Photographs for the evidence of the demo, drawn by the program."""

from qc.management.demo.photographs.photograph import photograph

__all__ = ["photograph"]
