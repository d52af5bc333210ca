"""Prints the interface's description, from which the browser's types are made: ``python -m wardwright.web.openapi``."""

import json
from typing import Any

from wardwright.web.app import make_app


def openapi() -> dict[str, Any]:
    """The interface's description in OpenAPI 3.1."""
    return make_app(None).openapi()


if __name__ == "__main__":
    print(json.dumps(openapi(), indent=1, sort_keys=True))
