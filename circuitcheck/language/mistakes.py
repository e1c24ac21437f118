"""What is wrong with a sentence that the grammar cannot read, in the words of the trade.

Each mistake is one function of `wrong_marks` or `wrong_sentences`: it looks at the broken
sentence and says its finding, or None if the sentence has another fault. The first that
speaks is believed.
"""

from __future__ import annotations

from collections.abc import Callable

from circuitcheck.basics.findings import Finding
from circuitcheck.language import wrong_marks, wrong_sentences
from circuitcheck.language.broken import Broken

MISTAKES: tuple[Callable[[Broken], Finding | None], ...] = (
    wrong_marks.arrow,
    wrong_marks.equals,
    wrong_marks.semicolon,
    wrong_marks.quote_mark,
    wrong_marks.strange_mark,
    wrong_marks.empty_clause,
    wrong_marks.dot,
    wrong_sentences.line_without_from,
    wrong_sentences.line_without_to,
    wrong_sentences.without_step,
    wrong_sentences.without_first_word,
    wrong_marks.colon,
    wrong_marks.bracket,
    wrong_sentences.line_end,
    wrong_sentences.name_alone,
    wrong_sentences.not_a_name,
)


def explain(broken: Broken) -> Finding:
    """Give the first mistake that fits, or say where reading stopped."""
    for mistake in MISTAKES:
        finding = mistake(broken)
        if finding is not None:
            return finding
    return wrong_sentences.otherwise(broken)
