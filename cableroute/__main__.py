"""``python -m cableroute``."""

from cableroute.cli import main

if __name__ == "__main__":
    main()
