"""Begin a module of the very program this file lies in: `python -I boot.py MODULE`, nothing of the environment kept.

Run as a file, so that a process begun by a program taken from elsewhere than the installed one is of that program too.
"""

import sys
from importlib import import_module
from pathlib import Path

if __name__ == "__main__":
    root = str(Path(__file__).parents[3])
    if root not in sys.path:
        sys.path.insert(0, root)
    import_module(f"snath.shop.media.{sys.argv.pop(1)}").main()
