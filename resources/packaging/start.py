"""The packaged program's first lines: its helpers are this program again, told by their first word."""

import multiprocessing
import sys

if __name__ == "__main__":
    multiprocessing.freeze_support()  # a worker ends in here
    from shopclock.places import READS_WORKBOOK

    if sys.argv[1:2] == [READS_WORKBOOK]:
        from shopclock.exchange.notes.workbook_reader import run

        sys.exit(run(sys.argv[2:]))
    from shopclock.__main__ import main

    sys.exit(main())
