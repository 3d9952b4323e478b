"""Routes with the names the pages' head looks for, and nothing behind them."""

from django.http import HttpRequest, HttpResponse
from django.urls import path


def nothing(request: HttpRequest) -> HttpResponse:
    return HttpResponse(b"")


urlpatterns = [path(f"{name}/", nothing, name=name) for name in ("today", "pools", "crews", "sky")]
