"""One Django app; its rooms are plain packages."""

from django.apps import AppConfig
from django.db.models.signals import post_migrate


class QualityRecord(AppConfig):
    """The quality record."""

    name = "qc"
    verbose_name = "Quality record"

    def ready(self) -> None:
        """Seal the immutable tables and set the web role's rights whenever migrations have run."""
        from qc.ledger.grants import grant_after_migrate
        from qc.ledger.seal import seal_after_migrate

        post_migrate.connect(seal_after_migrate, sender=self, dispatch_uid="seal")
        post_migrate.connect(grant_after_migrate, sender=self, dispatch_uid="grants")
