"""Tells whoever plans that somebody corrected a row by hand in the office's records."""

from typing import Any

from django.contrib import admin
from django.db import models, transaction
from django.db.models import QuerySet
from django.dispatch import Signal
from django.http import HttpRequest

# Sent in the transaction of the change, with ``instance`` and ``gone``.
edited = Signal()


class ToldAdmin(admin.ModelAdmin):
    """Pages of rows that plans are made from: every change through them, inlines too, is told once."""

    def save_related(self, request: HttpRequest, form: Any, formsets: Any, change: bool) -> None:
        super().save_related(request, form, formsets, change)
        if not change or form.has_changed() or any(formset.has_changed() for formset in formsets):
            _tell(form.instance, gone=False)

    def delete_model(self, request: HttpRequest, obj: models.Model) -> None:
        with transaction.atomic():
            # Before it goes: what belongs to it can still be read.
            _tell(obj, gone=True)
            super().delete_model(request, obj)

    def delete_queryset(self, request: HttpRequest, queryset: QuerySet[models.Model]) -> None:
        with transaction.atomic():
            for obj in queryset:
                _tell(obj, gone=True)
            super().delete_queryset(request, queryset)


def _tell(instance: models.Model, *, gone: bool) -> None:
    edited.send(sender=type(instance), instance=instance, gone=gone)
