"""Forms of the office's records: weeks as people write them, codes to choose from, prices in dollars."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from crews.domain.week_text import text_of_week, week_of_text
from crews.models import Crew, CrewTrade, Gear, Supplier
from jobs.domain.errors import CannotDo
from jobs.methods.loader import load_vocabulary

OUTSIDE_CREWS = {"electrician": _("Electrician"), "fence_builder": _("Fence builder")}


class WeekField(forms.CharField):
    """``Mon-Fri 07:00-15:30`` for a week that rows keep by weekday."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("help_text", _("Days and hours, such as Mon-Fri 07:00-15:30, Sat 08:00-12:00."))
        options.setdefault("initial", "Mon-Fri 07:00-15:30")
        super().__init__(widget=forms.TextInput(attrs={"size": 60}), **options)

    def prepare_value(self, value: Any) -> Any:
        return text_of_week(value) if isinstance(value, Mapping) else value

    def clean(self, value: Any) -> Any:
        try:
            return week_of_text(super().clean(value))
        except CannotDo as refused:
            raise forms.ValidationError(str(refused)) from refused

    def has_changed(self, initial: Any, data: Any) -> bool:
        return super().has_changed(self.prepare_value(initial), data)


class DollarField(forms.DecimalField):
    """Dollars on the page, whole cents in the row."""

    def __init__(self, **options: Any) -> None:
        super().__init__(min_value=Decimal(0), max_value=Decimal(1_000_000), decimal_places=2, **options)

    def prepare_value(self, value: Any) -> Any:
        return Decimal(value) / 100 if isinstance(value, int) else value

    def clean(self, value: Any) -> Any:
        dollars = super().clean(value)
        return 0 if dollars is None else int(dollars * 100)

    def has_changed(self, initial: Any, data: Any) -> bool:
        return super().has_changed(self.prepare_value(initial), data)


def choices_of(known: Mapping[str, Any]) -> list[tuple[str, Any]]:
    return [("", "---------"), *((key, getattr(one, "title", one)) for key, one in known.items())]


def _kept_too(known: Callable[[], Mapping[str, Any]], now: str) -> list[tuple[str, Any]]:
    """The codes to choose from; one that stands in the row and is not among them stays a choice."""
    found = choices_of(known())
    return found if not now or now in known() else [*found, (now, now)]


class CrewForm(forms.ModelForm):
    week = WeekField()
    hour_cents_per_person = DollarField(label=_("An hour of each person, $"))
    overtime_hour_cents = DollarField(
        label=_("An hour of overtime, $"),
        required=False,
        initial=0,
        help_text=_("The whole crew, past its hours; 0: it never stays longer."),
    )
    saturday_hour_cents = DollarField(
        label=_("An hour on a free Saturday, $"),
        required=False,
        initial=0,
        help_text=_("The whole crew; 0: it never comes."),
    )

    class Meta:
        model = Crew
        fields = "__all__"
        labels = {
            "key": _("Short name"),
            "own": _("Our own people"),
            "size": _("People"),
            "most_overtime_minutes": _("Longest overtime, minutes a day"),
        }
        help_texts = {
            "key": _("Small letters and dashes, such as forms-east; it stands in addresses of pages."),
            "booked_through": _("Only for a crew from outside: who is called to book it."),
        }


class CrewTradeForm(forms.ModelForm):
    trade = forms.ChoiceField()

    class Meta:
        model = CrewTrade
        fields = "__all__"

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["trade"].choices = _kept_too(  # type: ignore[attr-defined]
            lambda: load_vocabulary().trades, self.instance.trade
        )


class GearForm(forms.ModelForm):
    kind = forms.ChoiceField(help_text=_("Only kinds that can run out; any other gear is taken as at hand."))

    class Meta:
        model = Gear
        fields = "__all__"

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["kind"].choices = _kept_too(counted_gear, self.instance.kind)  # type: ignore[attr-defined]


class SupplierForm(forms.ModelForm):
    kind = forms.ChoiceField(label=_("Called for"))
    week = WeekField()
    fee_cents = DollarField(label=_("Fee for cancelling later, $"), required=False, initial=0)

    class Meta:
        model = Supplier
        fields = "__all__"
        labels = {
            "notice_working_days": _("Notice, working days"),
            "free_cancel_hours": _("Free to cancel until, hours before"),
            "daily_limit": _("Visits a day at most"),
        }

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["kind"].choices = _kept_too(who_is_called, self.instance.kind)  # type: ignore[attr-defined]


def counted_gear() -> Mapping[str, Any]:
    return {key: kind for key, kind in load_vocabulary().gear.items() if kind.counted}


def who_is_called() -> Mapping[str, Any]:
    words = load_vocabulary()
    return {**words.authorities, **words.bookings, **OUTSIDE_CREWS}
