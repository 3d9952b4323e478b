"""Who has which role in which branch."""

from django.contrib import admin

from planner.web.models import Membership


@admin.register(Membership)
class MembershipAdmin(admin.ModelAdmin):
    list_display = ("user", "branch", "role", "crew")
    list_filter = ("branch", "role")
