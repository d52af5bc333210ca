"""Routes whose JSON bodies are taken by the letter: ``"1"`` is no number, ``0`` no truth."""

from collections.abc import Callable, Coroutine
from typing import Any

from fastapi import Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.routing import APIRoute
from pydantic import TypeAdapter, ValidationError


class StrictRoute(APIRoute):
    """Checks the body against its model in strict mode before the route sees it."""

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        """The route's handler, behind the check."""
        handler = super().get_route_handler()
        model = self.body_field.field_info.annotation if self.body_field is not None else None
        if model is None:
            return handler
        adapter: TypeAdapter[Any] = TypeAdapter(model)

        async def strict(request: Request) -> Response:
            try:
                adapter.validate_json(await request.body(), strict=True)
            except ValidationError as error:
                told = error.errors(include_url=False, include_context=False, include_input=False)
                raise RequestValidationError([{**e, "loc": ("body", *e["loc"])} for e in told]) from None
            return await handler(request)

        return strict
