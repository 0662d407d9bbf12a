# %% [markdown]
# # One blade, for a class
#
# A rotary mower's blade may not run faster at its tip than a rule allows. Which engine speed is that?
# Work it by hand first, then let the program answer, then ask what the tape measure does to it.
#
# Before a hand goes near a blade: every plug lead off and grounded, key out, fuel off, battery out,
# blade blocked. The maker's manual and local codes come first.

# %% [markdown]
# ## By hand
#
# The tip goes once round a circle of diameter D each turn, so n turns a minute make a tip speed v = π
# D n, and
#
# $$n = \frac{v}{\pi D}$$
#
# The blade is 22 in from corner to corner and sits on the crankshaft; the limit taken is 19,000
# ft/min. Put your own blade here, and everything below follows.

# %%
from math import hypot, pi

length, width = 22, 3  # in

diameter_ft = length / 12
by_hand = 19_000 / (pi * diameter_ft)
print(f"by hand: {by_hand:,.1f} rpm, so never above {int(by_hand):,}")

# %% [markdown]
# ## By tool

# %%
import snath

asked = snath.limit(f"{length} in")
print(f"by tool: never above {asked.rpm:,} rpm")
print(asked.working)
assert asked.rpm == int(by_hand)

# %% [markdown]
# Why is 3,298.8 rounded down? Because it is a ceiling: 3,299 is over it.
#
# ## A tape across a square-cut bar
#
# Laid square across a bar that wide, the tape misses the corners. They draw the larger circle.

# %%
across = hypot(length, width)
square = snath.limit(f"{length} in", width=f"{width} in")
print(f"the corners draw {across:.2f} in: never above {square.rpm:,} rpm, {asked.rpm - square.rpm} rpm less")
assert square.rpm == int(19_000 / (pi * across / 12))

# %% [markdown]
# ## How much does the tape matter?
#
# n falls as D grows, by the same share: 1/16 in of 22 in is 0.28 %, and so is the answer. Guess
# before running this: which matters more on a larger blade?

# %%
print("blade    never above   1/16 in more")
for inches in (18, 20, 21, 22, 24, 28, 30):
    here, longer = snath.limit(f"{inches} in").rpm, snath.limit(f"{inches} 1/16 in").rpm
    print(f"{inches} in   {here:7,} rpm   {longer - here:+} rpm")
    assert abs((here - longer) / here - (1 / 16) / inches) < 1e-3

# %% [markdown]
# ## In the other unit
#
# The same blade in millimetres gives the same figure, and a bare number is refused: 22 what?

# %%
assert snath.limit(f"{length * 25.4:.2f} mm").rpm == asked.rpm
try:
    snath.limit(f"{length}")
except snath.InputError as refused:
    print(refused)
