"""Which histories a command speaks of: `--project CODE` and `--repair NUMBER`."""

from argparse import ArgumentParser
from typing import Any

from qc.accounts.models import Project
from qc.ledger.chain import Chain, register_chain, repair_chain
from qc.ledger.rows import Scope
from qc.management.one_line import BadUse
from qc.records.models import Repair


def add_scope(parser: ArgumentParser) -> None:
    """The two options; without them a command speaks of everything."""
    parser.add_argument("--project", metavar="CODE", help="only this project")
    parser.add_argument("--repair", metavar="NUMBER", help="only this repair")


def scope_of(options: dict[str, Any]) -> Scope:
    """The histories that the options name. BadUse where there is none such, or several."""
    code, number = options["project"], options["repair"]
    if code is None and number is None:
        return Scope()
    repairs = Repair.objects.all()
    if code is not None:
        if not Project.objects.filter(code=code).exists():
            raise BadUse(f"--project: there is no project {code!r}.")
        repairs = repairs.filter(project__code=code)
    if number is None:
        projects = Project.objects.filter(code=code).values_list("pk", flat=True)
        return Scope(frozenset(repairs.values_list("pk", flat=True)), frozenset(projects))
    return Scope(frozenset([_the_repair(repairs, number)]), frozenset())


def chain_names() -> dict[Chain, str]:
    """What to call the chains: `repair SQT R-014`, `register SQT`."""
    repairs = Repair.objects.values_list("pk", "project__code", "number")
    names = {repair_chain(pk): f"repair {code} {number}" for pk, code, number in repairs}
    for pk, code in Project.objects.values_list("pk", "code"):
        names[register_chain(pk)] = f"register {code}"
    return names


def _the_repair(repairs: Any, number: str) -> int:
    found = list(repairs.filter(number=number).values_list("pk", flat=True))
    if not found:
        raise BadUse(f"--repair: there is no repair {number!r}.")
    if len(found) > 1:
        raise BadUse(f"--repair: {len(found)} projects have a repair {number!r}; add --project.")
    return int(found[0])
