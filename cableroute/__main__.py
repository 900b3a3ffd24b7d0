"""``python -m cableroute``, and the command of that name."""

import gc
import os

from cableroute.interrupts import end_at_ctrl_c

#: What numpy and pydantic look at when first imported. Matrices here are small: threads that share one
#: cost many times what they save; and no model needs a plug-in, for which a look costs time.
QUICKER = {"OPENBLAS_NUM_THREADS": "1", "PYDANTIC_DISABLE_PLUGINS": "1"}
#: New objects between two looks for what nothing holds any more: a scan makes hundreds of thousands, which
#: all are held.
NEW_OBJECTS = 50_000


def main() -> None:
    """Run the command line."""
    end_at_ctrl_c()
    gc.set_threshold(NEW_OBJECTS, *gc.get_threshold()[1:])
    for name, value in QUICKER.items():
        os.environ.setdefault(name, value)
    from cableroute.cli import main as run

    run()


if __name__ == "__main__":
    main()
