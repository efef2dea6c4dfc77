"""Results are kept as long as what they were computed of, and no longer."""

from __future__ import annotations

import gc
import weakref

from scenes.lifelong_cache import cached_for_life


class Model:
    """What something is computed of."""


class Outline:
    """What is computed."""


def test_a_result_is_computed_once_for_each_model_and_each_other_argument() -> None:
    calls = []

    @cached_for_life
    def outline(model: Model, angle: float, scale: float = 1.0) -> Outline:
        calls.append((model, angle, scale))
        return Outline()

    one, other = Model(), Model()
    assert outline(one, 0.0) is outline(one, 0.0)
    assert len({outline(one, 0.0), outline(one, 1.0), outline(other, 0.0), outline(one, 0.0, scale=2.0)}) == 4
    assert calls == [(one, 0.0, 1.0), (one, 1.0, 1.0), (other, 0.0, 1.0), (one, 0.0, 2.0)]


def test_a_model_that_nobody_uses_any_more_takes_its_results_along() -> None:
    outline = cached_for_life(lambda _: Outline())
    model = Model()
    result = weakref.ref(outline(model))
    gc.collect()
    assert result() is not None
    del model
    gc.collect()
    assert result() is None
