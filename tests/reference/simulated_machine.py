"""The readings of docs/learning.md: what a caliper shows of prints of a machine whose truth is stated here, and hidden from dryfit.

    python simulated_machine.py           # prints each reading of the page

The true machine is off its profile: it adds 0.1 mm to outside dimensions (the profile says 0.05), takes 0.2 mm from gaps (the
profile says 0.1) and scatters as the profile says, of which two fifths come again with the same drawing and a fifth with the
plate. The caliper reads 0.01 mm high; a hand scatters by 0.01 mm. The wild machine takes 0.31 mm from gaps: three spreads off.
"""

import random

BIAS = {"outside": 0.10, "inside": -0.20}
SPREAD = {"outside": 0.06, "inside": 0.07}
FEATURE, JOB = 0.4, 0.2
CALIPER, HAND = 0.01, 0.01


class Machine:
    def __init__(self, seed, bias):
        self.random = random.Random(seed)
        self.bias = bias
        self.own = {}

    def plate(self):
        return {kind: self.random.gauss(0, (JOB**0.5) * spread) for kind, spread in SPREAD.items()}

    def came(self, name, kind, drawn, plate):
        spread = SPREAD[kind]
        own = self.own.setdefault(name, self.random.gauss(0, FEATURE**0.5 * spread))
        rest = self.random.gauss(0, (1 - FEATURE - JOB) ** 0.5 * spread)
        true = drawn + self.bias[kind] + own + plate[kind] + rest
        return [round(true + CALIPER + self.random.gauss(0, HAND), 2) for _ in range(3)]


CLIP = [("clip.mouth.width", "inside", 3.3), ("clip.cradle.width", "inside", 11.9), ("clip.back.thickness", "outside", 2.52), ("clip.jaw.thickness", "outside", 1.6)]


def main():
    for title, bias in [("the machine", BIAS), ("three spreads off", {**BIAS, "inside": -0.31})]:
        machine = Machine(7, bias)
        for number in (1, 2):
            plate = machine.plate()
            for name, kind, drawn in CLIP:
                second = {"clip.mouth.width": 3.5, "clip.cradle.width": 12.1}.get(name, drawn)
                value = drawn if number == 1 else second
                print(title, "plate", number, name, "from", value, machine.came(name, kind, value, plate))


if __name__ == "__main__":
    main()
