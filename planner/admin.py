"""Who has which role in which branch, and replies that could not be read, for whoever has to find out why."""

from typing import Any

from django.contrib import admin
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from planner.forecast.models import UnreadReply
from planner.web.models import Membership

SHOWN_BYTES = 4_000


@admin.register(Membership)
class MembershipAdmin(admin.ModelAdmin):
    list_display = ("user", "branch", "role", "crew")
    list_filter = ("branch", "role")


admin.site.site_header = _("Dry Window: the office's records")
admin.site.site_title = _("Dry Window")
admin.site.index_title = _("What the plans are made from")


@admin.register(UnreadReply)
class UnreadReplyAdmin(admin.ModelAdmin):
    list_display = ("source", "grid_key", "seen_at", "says")
    fields = ("source", "grid_key", "seen_at", "says", "begins")
    readonly_fields = fields

    @admin.display(description="how it begins")
    def begins(self, row: UnreadReply) -> str:
        return bytes(row.raw)[:SHOWN_BYTES].decode(errors="replace")

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Any = None) -> bool:
        return False
