"""The door: signing in and out, and what is said to somebody who may not pass."""

from django.contrib.auth import views as auth_views
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.decorators import method_decorator


@method_decorator(login_not_required, name="dispatch")
class SignIn(auth_views.LoginView):
    """Sign in with a name and a password."""

    template_name = "shop/sign_in.html"
    redirect_authenticated_user = True


@login_not_required
def stale_page(request: HttpRequest, reason: str = "") -> HttpResponse:
    """The page was open too long or cookies are off: say so, and keep what was typed within reach."""
    return render(request, "shop/stale_page.html", status=403)


@login_not_required
def not_found(request: HttpRequest, exception: Exception) -> HttpResponse:
    return render(request, "shop/not_found.html", status=404)


@login_not_required
def not_allowed(request: HttpRequest, exception: Exception) -> HttpResponse:
    return render(request, "shop/not_allowed.html", {"reason": str(exception)}, status=403)
