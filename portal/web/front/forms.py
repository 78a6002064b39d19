"""The forms at the front door."""

from __future__ import annotations

from flask_babel import lazy_gettext as _
from flask_wtf import FlaskForm
from wtforms import EmailField, PasswordField
from wtforms.validators import InputRequired, Regexp

#: A mail address is looked up as it was typed, and PostgreSQL breaks when asked for a NUL.
PRINTABLE = Regexp(r"[^\x00-\x1f\x7f]*\Z", message=_("There is a character in here that cannot be printed."))


class SignInForm(FlaskForm):
    """Mail address and password."""

    email = EmailField(_("Mail address"), [InputRequired(_("Enter your mail address.")), PRINTABLE],
                       render_kw={"autocomplete": "username"})  # fmt: skip
    password = PasswordField(_("Password"), [InputRequired(_("Enter your password."))],
                             render_kw={"autocomplete": "current-password"})  # fmt: skip


class ForgotForm(FlaskForm):
    """The mail address to send a link to."""

    email = EmailField(_("Mail address"), [InputRequired(_("Enter your mail address.")), PRINTABLE],
                       render_kw={"autocomplete": "username"})  # fmt: skip


class PasswordForm(FlaskForm):
    """A new password, once: it can be shown while typing by the browser, and a mistake is one mail away."""

    password = PasswordField(_("New password"), [InputRequired(_("Enter a password."))],
                             description=_("At least 10 characters. A sentence is good."),
                             render_kw={"autocomplete": "new-password"})  # fmt: skip
