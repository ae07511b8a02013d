"""Signing in."""

from django.contrib.auth.forms import AuthenticationForm


class LogInForm(AuthenticationForm):
    """Name and password, with messages that say what to do."""

    use_required_attribute = False
    error_messages = {
        "invalid_login": "Name or password is not right. Both are told apart by capital letters.",
        "inactive": "This account is closed. Ask whoever keeps the accounts of your project.",
    }

    def __init__(self, *args: object, **kwargs: object) -> None:
        super().__init__(*args, **kwargs)  # type: ignore[arg-type]
        self.fields["username"].label = "Name"
        self.fields["username"].error_messages["required"] = "Enter the name of your account."
        self.fields["password"].error_messages["required"] = "Enter your password."
