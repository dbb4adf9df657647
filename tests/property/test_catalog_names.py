"""However a thread's name is spaced or cased, it is the same thread; whatever else is written is refused by name."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from platemaker.catalog import Thread, thread, threads
from platemaker.errors import CatalogError


@given(st.sampled_from(threads()), st.data())
def test_case_and_blanks_do_not_count(entry: Thread, data: st.DataObject) -> None:
    written = "".join(
        data.draw(st.sampled_from([letter.lower(), letter.upper()])) + data.draw(st.sampled_from(["", " "]))
        for letter in entry.designation
    )
    assert thread(written) is entry


@given(st.text(alphabet="M0123456789/-x#.UNCF ", max_size=12))
def test_any_text_is_a_thread_or_a_catalog_error(text: str) -> None:
    try:
        found = thread(text)
    except CatalogError as error:
        # The nearest word, when one is named, is itself a thread.
        _, said, nearest = str(error).partition("; did you mean '")
        assert not said or thread(nearest.removesuffix("'?"))
    else:
        assert found in threads()
