"""What every test needs: nothing from outside unless it says so."""

import os

os.environ.setdefault("OMP_NUM_THREADS", "1")  # two workers share two cores
os.environ["LC_ALL"] = "C.UTF-8"  # whatever the shell of whoever tests is set to, commands answer in English
