"""Where a site is written: aside first, then swapped in whole; packed for passing on; with the policy that it keeps.

Serves every look of a site alike. Must not know what is in a site, nor what makes its pages.
"""

from __future__ import annotations

from hangtag.output.place import DOCS, SITE, Kind, Place, new_site, place_for, tidy
from hangtag.output.policy import POLICY_FILE, Policy, policy_of, read_policy
from hangtag.output.whole import Progress, Writes, written_whole

__all__ = [
    "DOCS",
    "POLICY_FILE",
    "SITE",
    "Kind",
    "Place",
    "Policy",
    "Progress",
    "Writes",
    "new_site",
    "place_for",
    "policy_of",
    "read_policy",
    "tidy",
    "written_whole",
]
