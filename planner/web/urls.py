"""Routes of the pages."""

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import URLPattern, path

from planner.web.views import (
    calculators,
    changes,
    crew_link,
    crews,
    day_link,
    holds,
    order,
    pools,
    pours,
    report,
    sky,
    today,
    told,
)

urlpatterns: list[URLPattern] = [
    path("sign-in/", LoginView.as_view(template_name="planner/sign_in.html"), name="sign_in"),
    path("sign-out/", LogoutView.as_view(), name="sign_out"),
    path("", today.today, name="today"),
    path("pools/", pools.pools, name="pools"),
    path("pools/<int:job_id>/", pools.pool, name="pool"),
    path("pools/<int:job_id>/order/", order.order, name="order"),
    path("pools/<int:job_id>/order.csv", order.order_table, name="order_table"),
    path("crews/", crews.crews, name="crews"),
    path("crews/<slug:key>/link/", crew_link.crew_link, name="crew_link"),
    path("crews/<slug:key>/link/<int:link_id>/end/", crew_link.crew_link_end, name="crew_link_end"),
    path("crews/<slug:key>/<str:on>/", crews.crew_day, name="crew_day"),
    path("pours/", pours.pours, name="pours"),
    path("pours/<int:warned_id>/noted/", pours.pours_note, name="pours_note"),
    path("holds/", holds.holds, name="holds"),
    path("holds/<int:hold_id>/visit/", holds.holds_visit, name="holds_visit"),
    path("holds/calls/write/", holds.calls_write, name="calls_write"),
    path("sky/", sky.sky, name="sky"),
    path("calculate/", calculators.calculators, name="calculators"),
    path("calculate/<slug:name>/", calculators.calculator, name="calculator"),
    path("report/", report.report, name="report"),
    path("report/<int:task_id>/", report.report_task, name="report_task"),
    path("changes/", changes.changes, name="changes"),
    path("changes/take/", changes.changes_take, name="changes_take"),
    path("changes/keep/", changes.changes_keep, name="changes_keep"),
    path("changes/make/", changes.changes_make, name="changes_make"),
    path("changes/itself/", changes.changes_itself, name="changes_itself"),
    path("told/", told.told, name="told"),
    path("told/<int:message_id>/again/", told.told_again, name="told_again"),
    path("day/<str:token>/", day_link.day_link, name="day_link"),
    path("day/<str:token>/<str:on>/", day_link.day_link_on, name="day_link_on"),
    path("day/<str:token>/<str:on>/seen/", day_link.day_seen, name="day_seen"),
]
