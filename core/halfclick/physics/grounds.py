"""stand-in"""

import numpy as np


def size_classes(d, classes):
    f = np.clip(0.252 - 0.1615 * np.log(d / 405), 0.05, 0.5)
    z = {1: [0.0], 2: [-0.6745, 0.6745], 3: [-0.967, 0, 0.967]}[classes]
    main = d * 1.25
    dk = main[:, None] * np.exp(0.5 * np.array(z))
    surf = 1 - (1 - np.minimum(30 / dk, 1)) ** 3
    sh = (1 - f)[:, None] / classes
    s0 = f + (sh * surf).sum(1)
    return dk, np.concatenate((s0[:, None], sh * (1 - surf)), 1)
