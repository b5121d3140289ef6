"""The packaged program's first lines: helpers are this program again, and end in `freeze_support`."""

import multiprocessing
import sys

from shopclock.__main__ import main

if __name__ == "__main__":
    multiprocessing.freeze_support()
    sys.exit(main())
