"""Follow many flights together, each with its own step, each leaving the arrays when it ends."""

from typing import Any

import numpy as np

from snath.formulas.throwing.forces import Forces
from snath.formulas.throwing.stepper import advance, next_step

FIRST_STEP = 1e-3  # s; the step control takes over at once
MOST_STEPS = 20_000
ROUNDS = 10  # of Newton's rule; it needs three or four
HALVINGS = 40


class Swarm:
    """Flights in the air, and what has been noted of each: time, apex and reach."""

    def __init__(self, forces: Forces, state: Any, *, carrying: Any, longest: Any, tolerance: Any) -> None:
        self.forces, self.state, self.tolerance = forces, state, tolerance
        self.carrying, self.longest = carrying, longest
        count = carrying.size
        self.index = np.arange(count)
        self.time, self.apex = np.zeros(count), state[2].copy()
        self.carry = np.where(forces.energy(state) >= carrying, state[0], 0.0)
        self.slope = forces.rate(state)
        self.step = self._first_step()
        self.ended = np.zeros((9, count))

    def run(self) -> np.ndarray:
        """Rows time, along, across, height, apex, speed, energy, carry, landed (0 or 1)."""
        idle = (self.forces.above(self.state) <= 0) & (self.forces.climb(self.state) <= 0)
        idle &= self.forces.gravity > 0
        self._finish(idle, idle)
        for _ in range(MOST_STEPS):
            if not self.index.size:
                return self.ended
            self._advance()
        raise RuntimeError("the step control has lost its way")

    def _first_step(self) -> Any:
        """A hop from the ground must not be over within the first step."""
        step = np.full(self.index.size, FIRST_STEP)
        pull = self.forces.gravity
        hop = np.abs(self.forces.climb(self.state)) / np.where(pull > 0, pull, 1.0)
        short = (pull > 0) & (self.state[2] <= 0)
        return np.where(short, np.minimum(step, 0.1 * hop + 1e-12), step)

    def _advance(self) -> None:
        step = np.minimum(self.step, self.longest - self.time)
        ahead, slope, error = advance(self.forces.rate, self.state, self.slope, step)
        scale = self.tolerance * (1 + np.maximum(np.abs(self.state), np.abs(ahead)))
        misfit = np.sqrt(((error / scale) ** 2).mean(axis=0))
        taken = misfit <= 1
        self.step = next_step(step, misfit)
        landed = taken & (self.forces.above(ahead) < 0)
        if landed.any():
            ahead[:, landed], slope[:, landed], step[landed] = self._until(landed, step, Forces.above)
        late = taken & ~landed & (self.time + step >= self.longest * (1 - 1e-15))
        self._note_apex(taken, ahead, step)
        self._note_carry(taken, ahead, slope, step)
        self.state = np.where(taken, ahead, self.state)
        self.slope = np.where(taken, slope, self.slope)
        self.time = np.where(taken, self.time + step, self.time)
        self._finish(landed | late, landed)

    def _until(self, chosen: Any, step: Any, height: Any) -> Any:
        """Shorten some steps until they end where `height` is nothing, falling (Newton, re-stepping)."""
        forces, state, slope = self.forces.take(chosen), self.state[:, chosen], self.slope[:, chosen]
        longest = step[chosen]
        part = longest.copy()
        for _ in range(ROUNDS):
            ahead, slope_ahead, _ = advance(forces.rate, state, slope, part)
            value = height(forces, ahead)
            change = height(forces, slope_ahead)
            move = value / np.where(change < 0, change, -1.0)
            if np.all(np.abs(value) <= 1e-13 * (1 + np.abs(ahead[2]))):
                break
            part = np.clip(part - move, 1e-3 * part, longest)
        return ahead, slope_ahead, part

    def _note_apex(self, taken: Any, ahead: Any, step: Any) -> None:
        self.apex = np.where(taken, np.maximum(self.apex, ahead[2]), self.apex)
        turned = taken & (self.state[5] > 0) & (ahead[5] < 0)
        if turned.any():
            crest, _, _ = self._until(turned, step, _upward_speed)
            self.apex[turned] = np.maximum(self.apex[turned], crest[2])

    def _note_carry(self, taken: Any, ahead: Any, slope: Any, step: Any) -> None:
        """Keep the farthest way at which the asked-for energy was still there."""
        after = self.forces.energy(ahead) >= self.carrying
        self.carry = np.where(taken & after, np.maximum(self.carry, ahead[0]), self.carry)
        lost = taken & ~after & (self.forces.energy(self.state) >= self.carrying)
        if lost.any():
            ends = self.state[:, lost], self.slope[:, lost], ahead[:, lost], slope[:, lost]
            there = self._where_lost(self.forces.take(lost), self.carrying[lost], step[lost], ends)
            self.carry[lost] = np.maximum(self.carry[lost], there)

    @staticmethod
    def _where_lost(forces: Any, carrying: Any, step: Any, ends: Any) -> Any:
        low, high = np.zeros_like(step), np.ones_like(step)
        for _ in range(HALVINGS):
            middle = (low + high) / 2
            enough = forces.energy(_between(middle, step, *ends)) >= carrying
            low, high = np.where(enough, middle, low), np.where(enough, high, middle)
        return _between(low, step, *ends)[0]

    def _finish(self, over: Any, landed: Any) -> None:
        """Write the finished ones down and take them out."""
        if not over.any():
            return
        energy = self.forces.energy(self.state)
        speed = np.sqrt((self.state[3:] ** 2).sum(axis=0))
        rows = (self.time, *self.state[:3], self.apex, speed, energy, self.carry, landed)
        self.ended[:, self.index[over]] = np.array(rows, dtype=float)[:, over]
        stay = ~over
        self.forces = self.forces.take(stay)
        for name in ("carrying", "longest", "index", "time", "apex", "carry", "step"):
            setattr(self, name, getattr(self, name)[stay])
        self.state, self.slope = self.state[:, stay], self.slope[:, stay]


def _upward_speed(forces: Any, state: Any) -> Any:
    """Row 5: the upward speed of a state, and of a slope its change."""
    del forces
    return state[5]


def _between(part: Any, step: Any, behind: Any, slope_behind: Any, ahead: Any, slope_ahead: Any) -> Any:
    """State inside a step, by the cubic through both ends and their slopes."""
    rest = 1 - part
    return (
        (1 + 2 * part) * rest**2 * behind
        + part * rest**2 * step * slope_behind
        + part**2 * (3 - 2 * part) * ahead
        - part**2 * rest * step * slope_ahead
    )
