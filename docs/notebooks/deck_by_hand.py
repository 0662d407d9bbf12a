# %% [markdown]
# # A deck by hand and by tool, side by side
#
# `examples/three_spindles.toml` is an invented 54 in deck: one belt, three spindles, and on the right
# a pulley that somebody replaced by one half an inch smaller. What may its engine run at?
#
# | spindle | pulley outside | blade, twice the longer arm |
# | --- | --- | --- |
# | engine | 6 in | |
# | left, middle | 5 3/4 in | 19 in |
# | right | 5 1/4 in | 19 in |

# %% [markdown]
# ## By hand
#
# A blade of 19 in meets 19,000 ft/min at n = v / (π D). Its spindle turns r times as fast as the
# engine, so the engine may turn n / r.
#
# Which diameters give r? The belt's datum line lies a little inside the rim: in a B groove the
# outside diameter is 0.350 in more than the datum diameter (Machinery's Handbook 31, table 9, from
# memory). Taken by outside diameters r = D₁/D₂, by datum diameters r = (D₁ − h)/(D₂ − h). Nobody
# knows how this belt lies in these grooves, so both are worked and the worse one counts.

# %%
from math import pi

GROOVE = 0.350  # in
blade_rpm = 19_000 / (pi * 19 / 12)
print(f"a 19 in blade: {blade_rpm:,.1f} rpm at its own spindle")

by_hand = {}
for spindle, driven in {"left": 5.75, "middle": 5.75, "right": 5.25}.items():
    outside, datum = 6 / driven, (6 - GROOVE) / (driven - GROOVE)
    by_hand[spindle] = min(blade_rpm / outside, blade_rpm / datum)
    print(f"{spindle:6}  r = {outside:.4f} or {datum:.4f}: engine at most {by_hand[spindle]:,.1f} rpm")

# %% [markdown]
# ## By tool

# %%
import snath

machine = snath.read_sheet("examples/three_spindles.toml")
asked = snath.window(machine)
for bound in asked.members:
    if bound.counts and bound.rule == asked.binding.rule:
        print(f"{bound.member:12} engine at most {bound.engine_rpm:,.1f} rpm, {bound.alternative}")

# %% [markdown]
# ## Side by side

# %%
print(
    f"by hand never above {int(min(by_hand.values())):,} rpm, because of the {min(by_hand, key=by_hand.get)} spindle"
)
print(f"by tool never above {asked.ceiling_rpm:,} rpm, because of the {asked.binding.member}")
assert asked.ceiling_rpm == int(min(by_hand.values()))
assert asked.binding.member == "right blade"

# %% [markdown]
# Half an inch of pulley cost this deck some 200 rpm. What would put it right? The program tries
# single changes and keeps those that open the window when the whole job is worked again:

# %%
for remedy in asked.remedies:
    print(f"- {remedy.change}: then never above {remedy.ceiling_rpm:,} rpm")
