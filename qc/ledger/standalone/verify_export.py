"""Checks an exported ledger: `python3 -I -S verify_export.py DIR [--checkpoints FILE]`.

Needs Python 3.11 or newer and nothing else; it knows nothing of the program that wrote the export.
DIR holds about.json, entries.jsonl, checkpoints.jsonl and files/, one file for each SHA-256. FILE
holds checkpoints that were kept elsewhere, such as those sent by e-mail, one a line.

Every hash is recomputed: SHA-256 over canonical JSON (RFC 8785, of strings, integers, booleans,
null, arrays and objects, all text in Unicode NFC). Status 0 if all holds, 1 if not, 2 for bad use.
"""

import argparse
import hashlib
import json
import sys
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NoReturn

GENESIS = "0" * 64
CHECKPOINT_DOMAIN = "quality-record/checkpoint/1"
ENTRY = {"entry", "payload", "hash"}
CHECKPOINT = {"position", "taken_at", "occasion", "heads", "previous", "hash"}
FILE_COLUMNS = (
    ("evidence", "sha256"),
    ("registerfile", "sha256"),
    ("certificate", "pdf_digest"),
    ("certificate", "snapshot"),
)
STATED_OFTEN = ("repair", "asset")

Line = dict[str, Any]
Problem = tuple[int, str]
"""The position of what does not hold, and in what way."""


class BadUse(Exception):
    """What was given is no export; the message says why."""


def canonical(value: Any) -> str:
    """The canonical text of a JSON value. ValueError for what has none here, such as a float."""
    if isinstance(value, str):
        return json.dumps(unicodedata.normalize("NFC", value), ensure_ascii=False)
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    if isinstance(value, int) and abs(value) < 2**53:
        return str(value)
    if isinstance(value, list):
        return "[" + ",".join(map(canonical, value)) + "]"
    if isinstance(value, dict):
        named = {unicodedata.normalize("NFC", name): item for name, item in value.items()}
        names = sorted(named, key=lambda name: name.encode("utf-16-be", "surrogatepass"))
        return "{" + ",".join(f"{canonical(n)}:{canonical(named[n])}" for n in names) + "}"
    raise ValueError(f"{value!r} has no canonical form")


def digest(value: Any) -> str | None:
    """SHA-256 of the canonical bytes; None where there are none."""
    try:
        return hashlib.sha256(canonical(value).encode()).hexdigest()
    except ValueError:
        return None


def read_lines(path: Path, names: set[str]) -> list[Line]:
    """The JSON objects of a file, one a line, each with these names. BadUse for anything else."""
    try:
        lines = [json.loads(line) for line in path.read_text("utf-8").splitlines() if line.strip()]
    except (OSError, ValueError, RecursionError) as problem:
        raise BadUse(f"{path}: {getattr(problem, 'strerror', None) or problem}") from None
    for number, line in enumerate(lines, start=1):
        if not isinstance(line, dict) or set(line) != names:
            raise BadUse(f"{path}, line {number}: expected {', '.join(sorted(names))}")
    return lines


def rows_of(line: Line) -> Iterator[tuple[str, Line]]:
    """`(table, row)` of all that an entry states, as far as it has the form of rows."""
    for table, rows in line["payload"].items() if isinstance(line["payload"], dict) else ():
        yield from ((table, row) for row in rows if isinstance(row, dict) and "id" in row)


def check_chain(lines: list[Line]) -> Problem | None:
    """The first entry of a chain that does not hold."""
    previous = GENESIS
    for expected, line in enumerate(lines, start=1):
        entry = line["entry"]
        if entry.get("position") != expected:
            return expected, f"missing or out of place: entry {entry.get('position')} is here"
        if digest(line["payload"]) != entry.get("payload"):
            return expected, "altered: its payload is not what was hashed"
        if digest(entry) != line["hash"]:
            return expected, "altered: it is not what was hashed"
        if entry.get("previous") != previous:
            return max(expected - 1, 1), f"altered: entry {expected} was written after another"
        previous = line["hash"]
    return None


def check_rows(lines: list[Line]) -> Iterator[Problem]:
    """The entries that state a row which another entry states already."""
    stated: dict[tuple[str, str], int] = {}
    for line in lines:
        position = line["entry"].get("position")
        for table, row in rows_of(line):
            earlier = stated.setdefault((table, str(row["id"])), position)
            if earlier != position and table not in STATED_OFTEN:
                yield position, f"inserted: entry {earlier} states {table} {row['id']} already"


def check_heads(lines: list[Line], seen: list[tuple[int, str]]) -> Problem | None:
    """Where a chain is not what was seen of it: `seen` are lengths with the hash of the last."""
    good = 0
    for length, own_hash in sorted(seen):
        if length > len(lines):
            what = f"{length} entries were seen, and there are {len(lines)}"
            return len(lines) + 1, f"truncated: {what}"
        if lines[length - 1]["hash"] != own_hash:
            return good + 1, f"rewritten: it was seen otherwise, up to entry {length}"
        good = length
    return None


def check_files(folder: Path, lines: list[Line]) -> Iterator[Problem]:
    """The files that are not there, or not what their digest says."""
    for line in lines:
        for table, row in rows_of(line):
            for name in (str(row.get(c)) for t, c in FILE_COLUMNS if t == table):
                sha256 = name.removeprefix("sha256:")
                found = content_of(folder, sha256)
                if found is None:
                    yield line["entry"].get("position"), f"file missing: {sha256}, of its {table}"
                elif hashlib.sha256(found).hexdigest() != sha256:
                    yield line["entry"].get("position"), f"file altered: {sha256}, of its {table}"


def content_of(folder: Path, sha256: str) -> bytes | None:
    """The file kept under a digest; None if there is none."""
    path = folder / "files" / Path(sha256).name
    return path.read_bytes() if path.is_file() else None


def printed_heads(folder: Path, lines: list[Line]) -> Iterator[tuple[int, str]]:
    """The length and head of the chain that each certificate in it prints."""
    for line in lines:
        for row in (row for table, row in rows_of(line) if table == "certificate"):
            content = content_of(folder, str(row.get("snapshot")).removeprefix("sha256:"))
            try:
                ledger = json.loads(content or b"")["ledger"]
                yield int(ledger["length"]), str(ledger["head"])
            except (KeyError, TypeError, ValueError):
                continue


def in_chain(folder: Path, lines: list[Line], heads: list[tuple[int, str]]) -> list[Problem]:
    """Everything that does not hold in a chain; of its entries and heads, the first."""
    first = check_chain(lines) or check_heads(lines, [*heads, *printed_heads(folder, lines)])
    found = [first] if first else []
    return [*found, *check_rows(lines), *check_files(folder, lines)]


def check_checkpoints(checkpoints: list[Line], where: str, *, gapless: bool) -> list[str]:
    """The first checkpoint of a series that does not hold."""
    position, previous = 0, GENESIS
    for kept in checkpoints:
        said = {name: value for name, value in kept.items() if name != "hash"}
        follows = kept["position"] == position + 1
        problem = ""
        if digest({"domain": CHECKPOINT_DOMAIN, **said}) != kept["hash"]:
            problem = "altered: it is not what was hashed"
        elif kept["position"] <= position or (gapless and not follows):
            problem = "missing or out of place"
        elif follows and kept["previous"] != previous:
            problem = "rewritten: it does not follow the one before"
        if problem:
            return [f"checkpoint {kept['position']} {where}: {problem}"]
        position, previous = kept["position"], kept["hash"]
    return []


def compare(inside: list[Line], outside: list[Line]) -> list[str]:
    """The first checkpoint kept elsewhere that the export does not have just so."""
    by_position = {kept["position"]: kept["hash"] for kept in inside}
    for kept in outside:
        there = by_position.get(kept["position"])
        if there != kept["hash"]:
            how = "rewritten: the export has another" if there else "truncated: not in the export"
            return [f"checkpoint {kept['position']} kept elsewhere: {how}"]
    return []


def verify(folder: Path, outside: Path | None) -> tuple[list[str], list[str]]:
    """What does not hold, and what was looked at, a line each."""
    try:
        about = json.loads((folder / "about.json").read_text("utf-8"))
        names = {(kind, subject): name for kind, subject, name in about["chains"]}
        chains: dict[tuple[str, int], list[Line]] = {chain: [] for chain in names}
    except (OSError, KeyError, TypeError, ValueError) as problem:
        raise BadUse(f"{folder}: no export is there ({problem})") from None
    inside = read_lines(folder / "checkpoints.jsonl", CHECKPOINT)
    elsewhere = read_lines(outside, CHECKPOINT) if outside else []
    seen = [head for kept in (*inside, *elsewhere) for head in kept["heads"]]
    chains |= {(k, s): [] for k, s, _, _ in seen if about["whole"] and (k, s) not in chains}
    for line in read_lines(folder / "entries.jsonl", ENTRY):
        chains.setdefault(tuple(line["entry"]["chain"]), []).append(line)
    problems, looked_at = [], []
    for chain, lines in sorted(chains.items()):
        heads = [(length, own_hash) for *whose, length, own_hash in seen if tuple(whose) == chain]
        name = names.get(chain, f"{chain[0]} {chain[1]}")
        found = in_chain(folder, lines, heads)
        problems += [f"{name}, entry {position}: {what}" for position, what in found]
        looked_at.append(f"{name}: {len(lines)} entries, head {lines[-1:] and lines[-1]['hash']}")
    problems += check_checkpoints(inside, "in the export", gapless=True)
    problems += check_checkpoints(elsewhere, "kept elsewhere", gapless=False)
    problems += compare(inside, elsewhere)
    looked_at.append(f"checkpoints: {len(inside)} in the export, {len(elsewhere)} kept elsewhere")
    return problems, looked_at


def main(arguments: list[str]) -> int:
    """The exit status."""
    parser = argparse.ArgumentParser(description="Check an exported ledger, its files and heads.")
    parser.add_argument("folder", metavar="DIR", type=Path)
    parser.add_argument("--checkpoints", metavar="FILE", type=Path)
    parser.error = refuse  # type: ignore[method-assign]
    options = parser.parse_args(arguments)
    try:
        problems, looked_at = verify(options.folder, options.checkpoints)
    except BadUse as problem:
        refuse(str(problem))
    except (AttributeError, IndexError, KeyError, TypeError, ValueError) as problem:
        refuse(f"{options.folder}: this has not the form of an export ({problem!r})")
    sys.stdout.write("\n".join([*looked_at, *problems]) + "\n")
    sys.stdout.write("DOES NOT HOLD\n" if problems else "All of it holds.\n")
    return 1 if problems else 0


def refuse(message: str) -> NoReturn:
    """End with one line and status 2."""
    sys.stderr.write(" ".join(message.split()) + "\n")
    sys.exit(2)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
