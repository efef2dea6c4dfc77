"""Results of a function that are kept as long as what they were computed of."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar
from weakref import WeakKeyDictionary

Owner = TypeVar("Owner")
Rest = ParamSpec("Rest")
Result = TypeVar("Result")


def cached_for_life(
    function: Callable[Concatenate[Owner, Rest], Result],
) -> Callable[Concatenate[Owner, Rest], Result]:
    """Decorate a function so that each result is computed once, and kept until its first argument is gone.

    So a model that nobody uses any more leaves memory, with all that was computed of it. No result may refer to the
    first argument; the others are hashable.
    """
    results: WeakKeyDictionary[Owner, dict[object, Result]] = WeakKeyDictionary()

    @wraps(function)
    def cached(owner: Owner, /, *rest: Rest.args, **named: Rest.kwargs) -> Result:
        of_owner = results.setdefault(owner, {})
        key = (rest, *named.items())
        if key not in of_owner:
            of_owner[key] = function(owner, *rest, **named)
        return of_owner[key]

    return cached
