"""The version of the program, in the one place from which the wheel, the command line and citations take it.

Must hold nothing else.
"""

from __future__ import annotations

__version__ = "0.1.0"
