"""Entry of crews, gear, suppliers and their days."""

from django.contrib import admin

from crews.models import Booking, BranchDay, Crew, CrewDay, CrewTrade, Gear, Supplier


class TradeInline(admin.TabularInline):
    model = CrewTrade
    extra = 1


class DayInline(admin.TabularInline):
    model = CrewDay
    extra = 0


@admin.register(Crew)
class CrewAdmin(admin.ModelAdmin):
    list_display = ("name", "branch", "own", "size", "active")
    list_filter = ("branch", "own")
    inlines = (TradeInline, DayInline)


@admin.register(Supplier)
class SupplierAdmin(admin.ModelAdmin):
    list_display = ("name", "branch", "role", "kind", "notice_working_days")
    list_filter = ("branch", "role")


@admin.register(Booking)
class BookingAdmin(admin.ModelAdmin):
    list_display = ("kind", "task", "supplier", "on", "state")


admin.site.register((Gear, BranchDay))
