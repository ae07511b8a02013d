"""One Django app; its rooms are plain packages."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class QualityRecord(AppConfig):
    """The quality record."""

    name = "qc"
    verbose_name = "Quality record"

    def ready(self) -> None:
        """Seal the immutable tables whenever migrations have run."""
        from qc.ledger.seal import seal_after_migrate

        post_migrate.connect(seal_after_migrate, sender=self, dispatch_uid="seal")
