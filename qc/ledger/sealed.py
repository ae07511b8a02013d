"""The base of every table whose rows never change."""

from django.db import models


class Sealed(models.Model):
    """A row that is written once. The database itself refuses to change or delete it."""

    class Meta:
        abstract = True
