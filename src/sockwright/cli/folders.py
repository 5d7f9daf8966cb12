"""Where the user's own files lie on this computer."""

from __future__ import annotations

from pathlib import Path

from platformdirs import user_config_path, user_data_path, user_log_path

from sockwright.errors import SockwrightError
from sockwright.order.file import load_order
from sockwright.order.model import Order
from sockwright.store.files import make_private_folder


def machines_folder() -> Path:
    """The folder of machine files kept for all orders, in the platform's settings folder."""
    return user_config_path("sockwright", appauthor=False) / "machines"


def workshop_file() -> Path:
    """The file of the workshop that is kept unless another is named, in the user-data folder."""
    return user_data_path("sockwright", appauthor=False) / "workshop.db"


def made_workshop_file() -> Path:
    """The same, its folder made where there is none, for its owner alone."""
    file = workshop_file()
    try:
        make_private_folder(file.parent)
    except OSError as error:
        raise SockwrightError(
            f"the folder {file.parent} cannot be made ({error.strerror}); make it, or name a "
            "database elsewhere: --database sqlite:////path/to/workshop.db"
        ) from error
    return file


def certificates_folder() -> Path:
    """Where the certificates that a workshop makes for itself are kept, in the user-data folder."""
    return user_data_path("sockwright", appauthor=False) / "certificates"


def log_file() -> Path:
    """Where a workshop that is served writes what went wrong, in the platform's folder for logs."""
    return user_log_path("sockwright", appauthor=False) / "serve.log"


def read_order(path: Path) -> Order:
    """The order at `path`, its machine file found beside it or in the user's folder."""
    return load_order(path, machines=machines_folder())
