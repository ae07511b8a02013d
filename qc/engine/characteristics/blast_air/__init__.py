"""Compressed air for blasting: free of oil and water?"""

from qc.engine.characteristics.blast_air.characteristic import BLAST_AIR

__all__ = ["BLAST_AIR"]
