"""The press: makes a PDF from HTML. It runs alone, knows no database, and reads from a pipe."""

import logging
import resource
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime

from weasyprint import HTML, Attachment
from weasyprint.logger import LOGGER
from weasyprint.urls import FatalURLFetchingError

from qc.certificate.assets import all_assets
from qc.certificate.job import Enclosure, Job, Unprintable
from qc.certificate.shelf import Shelf

PDF_VARIANT = "pdf/a-3a"
"""Archival, tagged, and allowed to carry files."""


def compose(job: Job) -> bytes:
    """The PDF of a job, byte for byte the same whenever it is made with the same library versions.

    Unprintable if the page asks for anything but its own assets, or the renderer reports an error.
    """
    shelf = Shelf(all_assets())
    with _errors_reported() as errors:
        try:
            pdf = _written(job, shelf)
        except FatalURLFetchingError as refusal:
            raise Unprintable(str(refusal)) from refusal
    problems = [*(f"{url[:100]!r} was asked for" for url in shelf.refused), *errors]
    if problems:
        raise Unprintable("; ".join(problems))
    return pdf


def _written(job: Job, shelf: Shelf) -> bytes:
    document = HTML(string=job.html, url_fetcher=shelf)
    enclosures = [_attachment(enclosure, job.issued_at) for enclosure in job.enclosures]
    pdf: bytes = document.write_pdf(attachments=enclosures, pdf_variant=PDF_VARIANT)
    return pdf


def _attachment(enclosure: Enclosure, issued_at: str) -> Attachment:
    moment = datetime.fromisoformat(issued_at)
    return Attachment(
        string=enclosure.content.encode(),
        name=enclosure.name,
        description=enclosure.description,
        created=moment,
        modified=moment,
        relationship="Data",
    )


class _Collector(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.messages.append(record.getMessage())


@contextmanager
def _errors_reported() -> Iterator[list[str]]:
    """What the renderer logs as an error meanwhile: it goes on after most of them."""
    collector = _Collector()
    LOGGER.addHandler(collector)
    try:
        yield collector.messages
    finally:
        LOGGER.removeHandler(collector)


def main(seconds: int, mebibytes: int) -> int:
    """Read a job from standard input, write the PDF to standard output, within limits."""
    resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
    resource.setrlimit(resource.RLIMIT_AS, (mebibytes * 1024**2, mebibytes * 1024**2))
    try:
        pdf = compose(Job.loaded(sys.stdin.buffer.read()))
    except Unprintable as problem:
        print(problem, file=sys.stderr)  # noqa: T201
        return 1
    sys.stdout.buffer.write(pdf)
    return 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]), int(sys.argv[2])))
