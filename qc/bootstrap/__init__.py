"""What must be on the machine before Django can be imported. Standard library only."""

from qc.bootstrap.door import enter

__all__ = ["enter"]
