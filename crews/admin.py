"""Entry of crews, gear, suppliers and their days."""

from django.contrib import admin
from django.http import HttpRequest

from crews.models import Booking, BranchDay, BranchReach, Crew, CrewDay, CrewTrade, Gear, Message, Supplier
from crews.records import CrewForm, CrewTradeForm, GearForm, SupplierForm
from jobs.edited import ToldAdmin


class TradeInline(admin.TabularInline):
    model = CrewTrade
    form = CrewTradeForm
    extra = 1


class DayInline(admin.TabularInline):
    model = CrewDay
    extra = 0


@admin.register(Crew)
class CrewAdmin(ToldAdmin):
    form = CrewForm
    prepopulated_fields = {"key": ("name",)}
    list_display = ("name", "branch", "own", "size", "active")
    list_filter = ("branch", "own")
    inlines = (TradeInline, DayInline)


@admin.register(Supplier)
class SupplierAdmin(ToldAdmin):
    form = SupplierForm
    list_display = ("name", "branch", "role", "kind", "notice_working_days")
    list_filter = ("branch", "role")


@admin.register(Booking)
class BookingAdmin(ToldAdmin):
    list_display = ("kind", "task", "supplier", "on", "state")


@admin.register(BranchReach)
class BranchReachAdmin(admin.ModelAdmin):
    list_display = ("branch", "mail", "quiet_from", "quiet_until")


@admin.register(Message)
class MessageAdmin(admin.ModelAdmin):
    """Looked at only: what was told is a record."""

    list_display = ("subject", "name", "channel", "state", "posted_at", "sent_at", "attempts")
    list_filter = ("branch", "state", "channel")

    def has_add_permission(self, request: HttpRequest) -> bool:
        return False

    def has_change_permission(self, request: HttpRequest, obj: Message | None = None) -> bool:
        return False

    def has_delete_permission(self, request: HttpRequest, obj: Message | None = None) -> bool:
        return False


@admin.register(Gear)
class GearAdmin(ToldAdmin):
    form = GearForm
    list_display = ("name", "branch", "count")


admin.site.register(BranchDay, ToldAdmin)
