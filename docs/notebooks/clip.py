# %% [markdown]
# # Speed from a clip, step by step
#
# A phone lay beside a running engine. What in its sound says how fast the crankshaft turns, and why
# is it so easy to be wrong by a factor of two? The clip here is made up in the next cell, so that its
# truth is known: a four-stroke single at 3,120 rpm.

# %%
import numpy as np

RATE, SECONDS, TRUE_RPM = 8_000, 4.0, 3_120.0
chance = np.random.default_rng(3)
t = np.arange(int(RATE * SECONDS)) / RATE

cycle = 2 * 60 / TRUE_RPM  # s: a four-stroke fires once in two turns
sound = np.zeros_like(t)
moment = 0.0
while moment < SECONDS:
    since = np.maximum(t - moment, 0)
    sound += np.exp(-since / 0.004) * np.sin(2 * np.pi * 140 * since) * chance.normal(1, 0.08)
    moment += cycle * chance.normal(1, 0.004)  # no two cycles are quite alike
sound += 0.2 * chance.standard_normal(len(t))

# %% [markdown]
# ## 1. The spectrum is a comb
#
# One firing every two turns gives lines at every multiple of half the shaft's frequency: 26, 52, 78
# Hz and so on for 3,120 rpm.

# %%
power = np.abs(np.fft.rfft(sound * np.hanning(len(sound)))) ** 2
hertz = np.fft.rfftfreq(len(sound), 1 / RATE)
loudest = hertz[np.argmax(power)]
print(f"the loudest line is at {loudest:.1f} Hz: taken for the firing it would mean {loudest * 120:,.0f} rpm")

# %% [markdown]
# The loudest line is where the muffler rings, not where the engine turns. Whoever takes it for the
# firing is out by a factor.
#
# ## 2. Ask every speed for all of its lines
#
# For each speed, add up how far each of its lines stands out of the noise, on a logarithm so that no
# single loud line outvotes the rest; and take away what stands between the lines, or half the speed,
# whose comb holds every line and as many gaps, would win.

# %%
floor = np.median(power)
level = np.log1p(power / floor)
speeds = np.arange(1_200, 6_000, 2.0)


def evidence(rpm: float) -> float:
    """How well the lines of one speed stand out, less what stands between them."""
    half = rpm / 120
    lines = np.interp(half * np.arange(1, 17), hertz, level)
    gaps = np.interp(half * (np.arange(1, 17) - 0.5), hertz, level)
    return float(lines.sum() - gaps.sum())


told = np.array([evidence(rpm) for rpm in speeds])
best = speeds[np.argmax(told)]
print(f"most evidence at {best:,.0f} rpm: {told.max():.0f}")
print(f"at half of it {evidence(best / 2):.0f}, at the double {evidence(2 * best):.0f}")
assert abs(best - TRUE_RPM) < 15

# %% [markdown]
# ## 3. The program
#
# It goes on from there: it follows the speed through the clip, counts whole cycles, lists every other
# speed that might have made the same sound, and decides only where one is left. Without knowing the
# engine it may not decide at all.

# %%
from snath.formulas.signals.candidates import Orders
from snath.formulas.signals.sound import speed_from_sound

RANGE = {"rev_s_low": 1_200 / 60, "rev_s_high": 5_400 / 60}
known = speed_from_sound(sound.astype(np.float32), RATE, Orders(cycle_turns=2, firings=(0.0,), **RANGE))
for one in known.candidates[:3]:
    print(f"{one.rev_s * 60:8,.1f} rpm ± {one.u * 120:.1f}   weight {one.weight:.3f}")
assert abs(known.candidates[0].rev_s * 60 - TRUE_RPM) < 15

# %% [markdown]
# A speed from sound alone is an indication, and no pass, until the shop has compared the way it
# records with a tachometer (`snath compare`). Recordings are made outdoors, to the side, never at the
# chute, by a second person.
