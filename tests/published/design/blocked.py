"""The best designs in two blocks for the full quadratic in two factors, each at -1, 0, 1, by looking through all of
them: the expected values of blocked.test.ts (numpy; `python3 blocked.py`).

First for runs that are free: |information of the five effects given the blocks| and the mean variance of a
prediction for the mean block over the square. Then for split plots whose first factor is hard to change, every
visit in one block: (|X'V^-1 X| with the contrast of the blocks / that of the contrast alone)^(1/6)/12.
"""
from itertools import combinations_with_replacement as multisets
import numpy as np

model = lambda w, s: [1, w, s, w * s, w * w, s * s]
grid = np.array([model(w, s) for w in (-1, 0, 1) for s in (-1, 0, 1)], float)
third, fifth, ninth = 1 / 3, 1 / 5, 1 / 9
moments = np.zeros((7, 7))
moments[:6, :6] = [[1, 0, 0, 0, third, third], [0, third, 0, 0, 0, 0], [0, 0, third, 0, 0, 0],
                   [0, 0, 0, ninth, 0, 0], [third, 0, 0, 0, fifth, ninth], [third, 0, 0, 0, ninth, fifth]]


def information(rows, contrast):
    x = np.column_stack([rows, np.full(len(rows), contrast)])
    return x.T @ x


def free(first, second):
    parts = [np.array([information(grid[list(pick)], contrast) for pick in multisets(range(9), size)])
             for size, contrast in ((first, 1), (second, -1))]
    shifts = np.linalg.det(np.array([[first + second, first - second], [first - second, first + second]]))
    best, least = 0, np.inf
    for part in parts[0]:
        both = part + parts[1]
        determinants = np.linalg.det(both)
        best = max(best, determinants.max())
        told = determinants > 1
        if told.any():
            least = min(least, np.trace(np.linalg.inv(both[told]) @ moments, axis1=1, axis2=2).min())
    print(f'{first}+{second} runs: {best / shifts:.8f} {least:.10f}')


def split_plot(visits, ratio):
    each = 12 // visits
    weight = np.linalg.inv(np.eye(each) + ratio)
    kinds = {1: [], -1: []}
    for contrast in kinds:
        for w in (-1, 0, 1):
            for easy in multisets((-1, 0, 1), each):
                x = np.array([model(w, s) + [contrast] for s in easy], float)
                kinds[contrast].append(x.T @ weight @ x)
    blocks = {contrast: np.array([sum(parts[k] for k in pick) for pick in multisets(range(len(parts)), visits // 2)])
              for contrast, parts in kinds.items()}
    alone = blocks[1][0][6, 6] + blocks[-1][0][6, 6]
    best = max(np.linalg.det(part + blocks[-1]).max() for part in blocks[1])
    print(f'{visits} visits, ratio {ratio:g}: {(best / alone) ** (1 / 6) / 12:.10f}')


free(6, 6)
free(5, 4)
for visits in (4, 6):
    for ratio in (1, 0.2):
        split_plot(visits, ratio)
