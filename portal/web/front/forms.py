"""The forms at the front door."""

from __future__ import annotations

from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import EmailField, PasswordField
from wtforms.validators import InputRequired


class SignInForm(FlaskForm):
    """Mail address and password."""

    email = EmailField(_("Mail address"), [InputRequired(_("Enter your mail address."))],
                       render_kw={"autocomplete": "username"})  # fmt: skip
    password = PasswordField(_("Password"), [InputRequired(_("Enter your password."))],
                             render_kw={"autocomplete": "current-password"})  # fmt: skip


class ForgotForm(FlaskForm):
    """The mail address to send a link to."""

    email = EmailField(_("Mail address"), [InputRequired(_("Enter your mail address."))],
                       render_kw={"autocomplete": "username"})  # fmt: skip


class PasswordForm(FlaskForm):
    """A new password, once: it can be shown while typing by the browser, and a mistake is one mail away."""

    password = PasswordField(_("New password"), [InputRequired(_("Enter a password."))],
                             description=_("At least 10 characters. A sentence is good."),
                             render_kw={"autocomplete": "new-password"})  # fmt: skip
