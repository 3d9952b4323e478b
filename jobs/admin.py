"""Entry of an office's own data. Jobs are opened through the service; here they are read and corrected."""

from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.contrib import admin
from django.http import HttpRequest
from django.utils.translation import gettext_lazy as _

from jobs.edited import ToldAdmin
from jobs.models import Basin, Branch, FieldReport, Hold, Job, Site, SiteClosure, Task


class ClosureInline(admin.TabularInline):
    model = SiteClosure
    extra = 0


class BasinInline(admin.StackedInline):
    """Read here, entered where a pool is opened: its tasks and quantities follow from it."""

    model = Basin
    extra = 0
    can_delete = False
    readonly_fields = ("shape", "form", "freeboard_m", "fittings")

    def has_add_permission(self, request: object, obj: object = None) -> bool:
        return False


class BranchForm(forms.ModelForm):
    """A branch with its time zone chosen, not typed."""

    zone = forms.ChoiceField(
        label=_("Time zone"), choices=[("", "---------"), *((zone, zone) for zone in sorted(available_timezones()))]
    )

    class Meta:
        model = Branch
        fields = "__all__"
        labels = {
            "slug": _("Short name"),
            "opens": _("Work begins at the earliest"),
            "closes": _("Work ends at the latest"),
            "subdivision": _("State"),
        }
        help_texts = {
            "country": _("Two letters, such as US."),
            "subdivision": _("Its letters, such as NJ: for public holidays."),
            "yard_latitude": _("Decimal degrees, south negative."),
            "yard_longitude": _("Decimal degrees, west negative: New Jersey is about -74.5."),
            "banner": _("One sentence over every page and day plan; usually empty."),
        }


@admin.register(Branch)
class BranchAdmin(ToldAdmin):
    form = BranchForm
    prepopulated_fields = {"slug": ("name",)}
    list_display = ("name", "company", "zone", "plan_number")
    readonly_fields = ("input_revision", "plan_number")


@admin.register(Site)
class SiteAdmin(ToldAdmin):
    list_display = ("name", "branch", "soil", "latitude", "longitude")
    list_filter = ("branch",)
    inlines = (ClosureInline,)


@admin.register(Job)
class JobAdmin(ToldAdmin):
    list_display = ("name", "branch", "method", "promised_on", "state")
    list_filter = ("branch", "state")
    readonly_fields = ("method", "design")
    inlines = (BasinInline,)


@admin.register(Task)
class TaskAdmin(ToldAdmin):
    list_display = ("title", "job", "kind", "started_at", "finished_at")
    list_filter = ("branch", "kind")
    readonly_fields = ("job", "key", "kind", "run")

    def get_form(self, request: HttpRequest, obj: Task | None = None, change: bool = False, **kwargs: Any) -> Any:
        form = super().get_form(request, obj, change, **kwargs)
        # Most work has no details; without this it could not be corrected.
        form.base_fields["details"].required = False
        return form


@admin.register(Hold)
class HoldAdmin(ToldAdmin):
    list_display = ("title", "job", "result", "decided_by", "decided_at")
    readonly_fields = ("job", "key", "visit", "blocks")


@admin.register(FieldReport)
class FieldReportAdmin(admin.ModelAdmin):
    list_display = ("kind", "task", "said_by", "happened_at")

    def has_change_permission(self, request: object, obj: object = None) -> bool:
        return False
