"""`python -m hangtag`: the command line where no script was installed. Must not do anything else."""

import sys

from hangtag.cli import main

sys.exit(main())
