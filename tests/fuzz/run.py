"""The fuzzer: python tests/fuzz/run.py --seconds N [--seed S] [--reader NAME]…; `fuzzing.py` does the work."""

import sys

from fuzzing import main

sys.exit(main())
