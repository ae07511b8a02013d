"""Sampling plans: how many places, and where, before anything is measured."""

from qc.engine.sampling.demand import Demand, Rule, demand
from qc.engine.sampling.proposal import Place, Proposal, propose
from qc.engine.sampling.request import FIELDS, propose_case
from qc.engine.sampling.strata import NoRoom
from qc.engine.sampling.surface import Surface, pipe

__all__ = [
    "FIELDS",
    "Demand",
    "NoRoom",
    "Place",
    "Proposal",
    "Rule",
    "Surface",
    "demand",
    "pipe",
    "propose",
    "propose_case",
]
