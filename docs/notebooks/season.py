# %% [markdown]
# # A season of readings: does a governor drift, and which instrument is off?
#
# Three machines came in six times between spring and autumn and were read with two tachometers in
# turn. All figures are invented: one governor creeps upwards, and one tachometer reads 0.8 % high.
# Nobody is told which. Can the readings tell?

# %%
import numpy as np

chance = np.random.default_rng(20)
MACHINES, TACHOMETERS, VISITS = ("rider", "walk-behind", "brush deck"), ("on the wall", "in the van"), 6
true_start, true_drift, true_scale = (
    np.array([3_150.0, 3_080.0, 3_210.0]),
    np.array([0.0, 18.0, 0.0]),
    np.array([0.0, 0.008]),
)
SCATTER = 6.0  # rpm, of one reading

rows = []
for visit in range(VISITS):
    for m in range(3):
        for t in range(2):
            held = true_start[m] + true_drift[m] * visit
            rows.append((m, t, visit, held * (1 + true_scale[t]) + chance.normal(0, SCATTER)))
m, t, visit, read = (np.array(column) for column in zip(*rows, strict=True))
print(f"{len(read)} readings, {read.min():,.0f} to {read.max():,.0f} rpm")

# %% [markdown]
# ## What the readings can tell, and what they cannot
#
# A reading is the machine's speed at the season's start, plus what it crept each visit, times one
# plus what its tachometer is off:
#
# $$y = (a_m + b_m\,k)(1 + c_t) \approx a_m + b_m\,k + \bar y\,c_t$$
#
# If both tachometers were off alike, every machine would only seem faster: that cannot be told
# without a third thing to compare with. So the wall's is taken as right, and the van's is asked for
# beside it. Least squares do the rest.

# %%
design = np.zeros((len(read), 7))
design[np.arange(len(read)), m] = 1  # where each machine began
design[np.arange(len(read)), 3 + m] = visit  # what it crept a visit
design[:, 6] = np.where(t == 1, read.mean(), 0.0)  # the van's beside the wall's
found, left, *_ = np.linalg.lstsq(design, read, rcond=None)
scatter = np.sqrt(left[0] / (len(read) - design.shape[1]))
u = scatter * np.sqrt(np.diag(np.linalg.inv(design.T @ design)))

for name, creep, doubt in zip(MACHINES, found[3:6], u[3:6], strict=True):
    print(f"{name:12} creeps {creep:+5.1f} ± {2 * doubt:.1f} rpm a visit")
print(f"{TACHOMETERS[1]} reads {found[6]:+.2%} ± {2 * u[6]:.2%} beside the one {TACHOMETERS[0]}")

assert abs(found[4] - 18) < 3 * u[4]  # the creeping governor is found
assert max(abs(found[[3, 5]] / u[[3, 5]])) < 3.5  # and the steady ones are not accused
assert abs(found[6] - 0.008) < 3 * u[6] < 0.008  # the van's tachometer is off, beyond doubt

# %% [markdown]
# ## What that does to a verdict
#
# The walk-behind's ceiling is 3,455 rpm. Read with the van's tachometer at its fourth visit it stands
# lower than it seems; the program wants an instrument's accuracy or its check, and takes the worst of
# its kind where it is told neither.

# %%
import snath

machine = snath.read_sheet("examples/direct_21_inch.toml")
for said, how in (
    ("nothing known of it", {"instrument": "optical"}),
    ("checked, 0.05 %", {"accuracy": "0.05 %"}),
):
    answer = snath.judge(machine, ["3,390 rpm", "3,394 rpm", "3,388 rpm"], **how)
    print(f"{said:22} {answer.word}")

# %% [markdown]
# So a check of the van's tachometer is worth more than three more readings with it: put both beside
# one flywheel, write down what each shows, and keep the difference with the instrument. A governor
# that creeps is looked at, not set down each visit.
