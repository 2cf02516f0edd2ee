"""How a line answers to oil: the board that a throw comes in on, for every place to stand and every board to look at.

    pip install boardwise[example]
    python sweep.py sweep.png
"""

import sys

import boardwise as bw
import matplotlib.pyplot as plt
import numpy as np

bowler = bw.Bowler.demo("right-straighter")
ball = bw.Bag.demo()["strong-solid"]
laydown, arrows = np.meshgrid(np.linspace(10.0, 32.0, 89), np.linspace(5.0, 20.0, 61))

figure, axes = plt.subplots(1, 2, sharey=True, figsize=(10, 4), layout="constrained")
for axis, name in zip(axes, ["house-40-walled", "house-40-flat"]):
    lane = bw.Lane.demo(name)
    throws = bw.throw(lane, ball, bowler, laydown=laydown, arrows=arrows)
    strike = 100.0 * throws.strike.reshape(laydown.shape)
    drawn = axis.contourf(laydown, arrows, strike, levels=np.arange(0, 101, 10), cmap="cividis")
    share = (strike > 50.0).mean()
    print(f"{name}: one throw in {1 / share:.0f} strikes more often than not")
    axis.set(title=f"{lane.name}, {lane.volume_ml:.1f} mL", xlabel="board of laydown")
axes[0].set_ylabel("board aimed at, at the arrows")
figure.colorbar(drawn, ax=axes, label="strikes in 100, of throws without any spread")
figure.savefig(sys.argv[1] if len(sys.argv) > 1 else "sweep.png", dpi=150)
