"""Any text, for hypothesis."""

from hypothesis import strategies as st


def texts(**wanted: int) -> st.SearchStrategy[str]:
    """Every character but half surrogates, as in `st.text()`, whose own list takes 3 s to make."""
    return st.text(st.characters(exclude_categories=("Cs",)), **wanted)
