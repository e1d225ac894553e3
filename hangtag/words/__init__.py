"""The normaliser of words, shared by the finder and the tag reader, in both languages.

Must not know units, entries or what any word means.
"""

from __future__ import annotations

from hangtag.words.script import to_javascript
from hangtag.words.tokens import Kind, Token, folded, tokens

__all__ = ["Kind", "Token", "folded", "to_javascript", "tokens"]
