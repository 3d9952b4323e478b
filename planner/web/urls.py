"""Routes of the pages."""

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import URLPattern, path

from planner.web.views import changes, crews, pools, pours, today

urlpatterns: list[URLPattern] = [
    path("sign-in/", LoginView.as_view(template_name="planner/sign_in.html"), name="sign_in"),
    path("sign-out/", LogoutView.as_view(), name="sign_out"),
    path("", today.today, name="today"),
    path("pools/", pools.pools, name="pools"),
    path("pools/<int:job_id>/", pools.pool, name="pool"),
    path("crews/", crews.crews, name="crews"),
    path("crews/<slug:key>/<str:on>/", crews.crew_day, name="crew_day"),
    path("pours/", pours.pours, name="pours"),
    path("changes/", changes.changes, name="changes"),
    path("changes/take/", changes.changes_take, name="changes_take"),
    path("changes/keep/", changes.changes_keep, name="changes_keep"),
    path("changes/make/", changes.changes_make, name="changes_make"),
]
