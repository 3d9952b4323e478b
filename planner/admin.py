"""Who has which role in which branch."""

from django.contrib import admin
from django.utils.translation import gettext_lazy as _

from planner.web.models import Membership


@admin.register(Membership)
class MembershipAdmin(admin.ModelAdmin):
    list_display = ("user", "branch", "role", "crew")
    list_filter = ("branch", "role")


admin.site.site_header = _("Dry Window: the office's records")
admin.site.site_title = _("Dry Window")
admin.site.index_title = _("What the plans are made from")
