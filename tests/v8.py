"""Our own scripts in V8, as a browser loads them: classic scripts after one another on one global object.

Must not change a script: what runs here is what a page loads.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from py_mini_racer import MiniRacer

SCRIPTS = Path(__file__).parent.parent / "site_templates" / "scripts"

# A refusal becomes data, so that a case can name its code; every other error stays an error.
_ATTEMPT = """
var window = globalThis;
function attempt(work) {
  try { return JSON.stringify({ gives: work() }); }
  catch (error) {
    if (error.code === undefined) throw error;
    return JSON.stringify({ refuses: error.code, values: error.values });
  }
}
"""


class V8:
    """One context with the named scripts loaded."""

    def __init__(self, *scripts: str) -> None:
        self._context = MiniRacer()
        self._context.eval(_ATTEMPT)
        for script in scripts:
            self.load((SCRIPTS / script).read_text(encoding="utf-8"))

    def load(self, source: str) -> None:
        """Run one more script."""
        self._context.eval(source)

    def call(self, function: str, *arguments: object) -> Any:  # noqa: ANN401  any JSON
        """`{"gives": ...}`, or `{"refuses": code, "values": ...}` where the function threw a refusal."""
        listed = ", ".join(json.dumps(argument) for argument in arguments)
        text = str(self._context.eval(f"attempt(() => {function}({listed}))"))
        return json.loads(text, parse_int=float)  # JavaScript prints whole floats without a point
