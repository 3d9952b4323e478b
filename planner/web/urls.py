"""Routes of the pages."""

from django.contrib.auth.views import LoginView, LogoutView
from django.urls import URLPattern, path

from planner.web.views import crews, today

urlpatterns: list[URLPattern] = [
    path("sign-in/", LoginView.as_view(template_name="planner/sign_in.html"), name="sign_in"),
    path("sign-out/", LogoutView.as_view(), name="sign_out"),
    path("", today.today, name="today"),
    path("crews/<slug:key>/<str:on>/", crews.crew_day, name="crew_day"),
]
