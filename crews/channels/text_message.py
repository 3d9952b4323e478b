"""Text messages through any gateway that takes one HTTP request a message, described by settings.

The template names ``{to}``, ``{text}`` and ``{id}``. It is read first and filled afterwards, so that nothing in a
message can add a field of its own. Every attempt carries the same id, in the template where the gateway knows a
field for it, and as ``Idempotency-Key``.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal
from urllib.parse import parse_qsl, urlencode

from crews.channels import http
from crews.domain.letter import TEXT, Letter, shortened
from jobs.domain.errors import CannotDo, OutsideFailure

Shape = Literal["json", "form", "query"]
TYPES = {"json": "application/json", "form": "application/x-www-form-urlencoded"}
METHODS = ("POST", "PUT", "GET")


@dataclass(frozen=True, slots=True, kw_only=True)
class Gateway:
    """A gateway as the settings describe it; ``good_path`` is where in a JSON answer ``good_value`` stands."""

    endpoint: http.Endpoint
    method: str
    shape: Shape
    template: Any
    headers: Mapping[str, str] = field(default_factory=dict)
    good_path: tuple[str, ...] = ()
    good_value: str = ""


def gateway(endpoint: http.Endpoint, *, method: str, body: str, headers: str, good: str) -> Gateway:
    """The gateway of the settings.

    Parameters
    ----------
    endpoint : Endpoint
        PLANNER_TEXT_URL, checked.
    method : str
        PLANNER_TEXT_METHOD: POST, PUT, or GET (then the form becomes the query).
    body : str
        PLANNER_TEXT_BODY: a JSON object, or a form such as ``To={to}&Body={text}``.
    headers : str
        PLANNER_TEXT_HEADERS: a JSON object of names and values.
    good : str
        PLANNER_TEXT_GOOD: ``path=value``, such as ``messages.0.status=0``; empty: a status of 200 to 299 is enough.

    Raises
    ------
    CannotDo
        ``channels.bad_setting``.
    """
    if method not in METHODS:
        raise _bad("PLANNER_TEXT_METHOD", f"it must be one of {', '.join(METHODS)}")
    template, shape = _template(body, method)
    for name in ("{to}", "{text}"):
        if name not in body:
            raise _bad("PLANNER_TEXT_BODY", f"it does not name {name}")
    path, equals, value = good.partition("=")
    if good and not (path and equals):
        raise _bad("PLANNER_TEXT_GOOD", "it must be a path, an equals sign and a value")
    return Gateway(
        endpoint=endpoint,
        method=method,
        shape=shape,
        template=template,
        headers=_headers(headers),
        good_path=tuple(path.split(".")) if path else (),
        good_value=value,
    )


def _template(body: str, method: str) -> tuple[Any, Shape]:
    if body.lstrip().startswith("{") and not body.lstrip().startswith(("{to}", "{text}", "{id}")):
        try:
            template = json.loads(body)
        except ValueError as error:
            raise _bad("PLANNER_TEXT_BODY", f"it is not JSON ({error})") from error
        if method == "GET":
            raise _bad("PLANNER_TEXT_BODY", "a GET carries a form, not JSON")
        return template, "json"
    try:
        pairs = parse_qsl(body, keep_blank_values=True, strict_parsing=True)
    except ValueError as error:
        raise _bad("PLANNER_TEXT_BODY", "it is neither JSON nor a form") from error
    return pairs, "query" if method == "GET" else "form"


def _headers(text: str) -> dict[str, str]:
    try:
        found = json.loads(text or "{}")
    except ValueError as error:
        raise _bad("PLANNER_TEXT_HEADERS", "it is not a JSON object") from error
    good = isinstance(found, dict) and all(isinstance(value, str) and value.isprintable() for value in found.values())
    if not good:
        raise _bad("PLANNER_TEXT_HEADERS", "it must be a JSON object of texts on one line")
    return found


def _bad(setting: str, why: str) -> CannotDo:
    return CannotDo("channels.bad_setting", field=setting, setting=setting, why=why)


class TextMessage:
    """Hands letters to one gateway."""

    name = TEXT

    def __init__(self, to: Gateway) -> None:
        self._gateway = to

    def send(self, letter: Letter) -> None:
        """Hand a letter to the gateway.

        Raises
        ------
        CannotDo
            ``channels.refused``, ``channels.inside_address``.
        OutsideFailure
            ``channels.not_now`` also where the answer does not pass the success test; see ``http.request``.
        """
        gate = self._gateway
        values = {"{to}": letter.to, "{text}": shortened(letter.body), "{id}": letter.message_id}
        filled = _fill(gate.template, values)
        content = json.dumps(filled) if gate.shape == "json" else urlencode(filled)
        headers = {**gate.headers, "Idempotency-Key": letter.message_id}
        if gate.shape in TYPES:
            headers.setdefault("Content-Type", TYPES[gate.shape])
        answer = http.request(
            gate.endpoint,
            method=gate.method,
            target_query=content if gate.shape == "query" else "",
            headers=headers,
            body=None if gate.shape == "query" else content.encode(),
        )
        if gate.good_path and _at(answer.json(), gate.good_path) != gate.good_value:
            host = gate.endpoint.parts().hostname
            raise OutsideFailure("channels.not_now", who=host, answer=answer.words())

    def close(self) -> None:
        """Nothing is kept open."""


def _fill(template: Any, values: Mapping[str, str]) -> Any:
    """The template with the names in its texts filled, whatever its shape; a filled text is not looked at again."""
    if isinstance(template, str):
        parts = [template]
        for name, value in values.items():
            # Odd places hold what has been filled in, and stay as they are.
            parts = [
                piece
                for at, part in enumerate(parts)
                for piece in (_between(part.split(name), value) if at % 2 == 0 else [part])
            ]
        return "".join(parts)
    if isinstance(template, dict):
        return {key: _fill(value, values) for key, value in template.items()}
    if isinstance(template, list):
        return [_fill(value, values) for value in template]
    if isinstance(template, tuple):
        return tuple(_fill(value, values) for value in template)
    return template


def _between(parts: list[str], value: str) -> list[str]:
    return [piece for part in parts for piece in (part, value)][:-1]


def _at(found: Any, path: tuple[str, ...]) -> str | None:
    """What stands at a path of a JSON value, as text; ``None`` where the path leads nowhere."""
    for step in path:
        if isinstance(found, dict) and step in found:
            found = found[step]
        elif isinstance(found, list) and step.isdigit() and int(step) < len(found):
            found = found[int(step)]
        else:
            return None
    return found if isinstance(found, str) else json.dumps(found)
