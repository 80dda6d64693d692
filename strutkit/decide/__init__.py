"""The builder's questions: sweep, summary, loads, rating window, findings."""
