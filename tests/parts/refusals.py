"""What an act says when it refuses, as plain text."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from portal.core.errors import BadInput, Refused


def refusal(call: Callable[[], Any]) -> str:
    """The words of the `Refused` that the call raises."""
    with pytest.raises(Refused) as caught:
        call()
    return str(caught.value.says)


def problems(call: Callable[[], Any]) -> dict[str, str]:
    """The problems of the `BadInput` that the call raises, by field; each field may have one."""
    with pytest.raises(BadInput) as caught:
        call()
    found = [(problem.at, str(problem.says)) for problem in caught.value.problems]
    assert len(dict(found)) == len(found), found
    return dict(found)
