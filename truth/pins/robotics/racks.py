"""Racks in a general robotics engine (MuJoCo), and how long they take beside the rack engine's, in one run.

    python3 -m venv venv && venv/bin/pip install mujoco==4.0.0 numpy
    cargo build --release -p boardwise-tools --bin racks
    venv/bin/python truth/pins/robotics/racks.py target/release/racks [racks] [step_ms] [spheres|hulls]

The scene is that of the rack: ball, ten pins, deck, gutters, kickbacks, cushion; masses and moments of inertia, entries
and places of the pins are the same, rack by rack. See README.md for what differs.
"""

import math
import resource
import subprocess
import sys
import time

import mujoco
import numpy as np

INCH = 0.0254
# Published heights and diameters of a pin, inches: crates/pins/src/profile.rs.
OUTLINE = [(0, 2.031), (0.75, 2.828), (2.25, 3.906), (3.375, 4.510), (4.5, 4.766), (5.875, 4.563), (7.25, 3.703),
           (8.625, 2.472), (9.375, 1.965), (10.0, 1.797), (10.875, 1.870), (11.75, 2.094), (12.625, 2.406),
           (13.5, 2.547), (15.0 - 2.547 / 2, 2.547)]
CAP_IN = 2.547 / 2
HEIGHT_IN = 15.0
PIN_KG, ACROSS_M, AXIAL_M = 1.552, 3.62 * INCH, 1.39 * INCH
CG_M = 5.80 * INCH
BALL_KG, BALL_M, BALL_GYRATION_M = 15 * 0.45359237, 8.55 / 2 * INCH, 2.5 * INCH
EDGE_M, KICK_M, PIT_M = 41.5 / 2 * INCH, 30.0625 * INCH, 34.1875 * INCH
GUTTER_M, REACH_M, BELLY_M = 1.875 * INCH, HEIGHT_IN * INCH - CG_M, 4.766 / 2 * INCH
SPOTS = [(0, 0)] + [(x, r * 10.392) for r in (1, 2, 3) for x in range(-6 * r, 6 * r + 1, 12)]
# A contact as a spring of 106 Hz with 0.15 of critical damping: the least that a step of 1 ms follows. There is no
# coefficient of restitution.
SOFT = 'solref="0.01 0.15" solimp="0.95 0.95 0.001" condim="4"'


def spline(heights, radii):
    """Natural cubic at the base, level at the cap, as profile.rs has it: values at fine heights."""
    n = len(heights)
    a, b = np.zeros((n, n)), np.zeros(n)
    h = np.diff(heights)
    secant = np.diff(radii) / h
    a[0, :2], b[0] = (2, 1), 3 * secant[0]
    for i in range(1, n - 1):
        a[i, i - 1:i + 2] = h[i], 2 * (h[i - 1] + h[i]), h[i - 1]
        b[i] = 3 * (h[i] * secant[i - 1] + h[i - 1] * secant[i])
    a[n - 1, n - 1] = 1
    m = np.linalg.solve(a, b)

    def at(z):
        i = min(max(int(np.searchsorted(heights, z)) - 1, 0), n - 2)
        x = (z - heights[i]) / h[i]
        m0, m1 = m[i] * h[i], m[i + 1] * h[i]
        c2, c3 = 3 * (radii[i + 1] - radii[i]) - 2 * m0 - m1, 2 * (radii[i] - radii[i + 1]) + m0 + m1
        return radii[i] + x * (m0 + x * (c2 + x * c3)), (m0 + x * (2 * c2 + x * 3 * c3)) / h[i]

    return at


OUTLINE_AT = spline(np.array([z for z, _ in OUTLINE]) * INCH, np.array([d / 2 for _, d in OUTLINE]) * INCH)


def sphere_geoms():
    """Twenty-five spheres that fit inside the outline, and a short cylinder to stand on."""
    low, high = 1.05 * INCH, (HEIGHT_IN - CAP_IN) * INCH
    geoms = [f'<geom type="cylinder" size="{OUTLINE[0][1] / 2 * INCH} {0.25 * INCH}" pos="0 0 {0.25 * INCH - CG_M}" class="pin"/>']
    for i in range(25):
        s = low + (high - low) * i / 24
        r, slope = OUTLINE_AT(s) if i < 24 else (CAP_IN * INCH, 0.0)
        geoms.append(f'<geom type="sphere" size="{r * math.hypot(1, slope)}" pos="0 0 {s + r * slope - CG_M}" class="pin"/>')
    return "", "\n".join(geoms)


def hull_geoms(facets=64):
    """Two hulls of revolution, below and above the neck."""
    def ring(s):
        if s <= (HEIGHT_IN - CAP_IN) * INCH:
            r = OUTLINE_AT(s)[0]
        else:
            r = math.sqrt(max((CAP_IN * INCH) ** 2 - (s - (HEIGHT_IN - CAP_IN) * INCH) ** 2, 1e-10))
        turn = 2 * math.pi * np.arange(facets) / facets
        return np.stack([r * np.cos(turn), r * np.sin(turn), np.full(facets, s - CG_M)], 1)

    meshes = ""
    for name, lo, hi, rings in (("belly", 0, 10 * INCH, 26), ("head", 10 * INCH, HEIGHT_IN * INCH, 20)):
        points = np.concatenate([ring(s) for s in np.linspace(lo, hi, rings)])
        meshes += f'<mesh name="{name}" vertex="{" ".join(f"{v:.6f}" for v in points.ravel())}"/>\n'
    # A hull is moved to its own centre: told where it was, it goes back there.
    return meshes, '<geom type="mesh" mesh="belly" class="pin"/><geom type="mesh" mesh="head" class="pin"/>'


def scene(step_s, geoms):
    meshes, pin_geoms = geoms
    across, axial = PIN_KG * ACROSS_M ** 2, PIN_KG * AXIAL_M ** 2
    ball = BALL_KG * BALL_GYRATION_M ** 2
    pins = "".join(
        f'<body name="pin{i + 1}" pos="{x * INCH} {y * INCH} {CG_M}"><freejoint/>'
        f'<inertial pos="0 0 0" mass="{PIN_KG}" diaginertia="{across} {across} {axial}"/>{pin_geoms}</body>'
        for i, (x, y) in enumerate(SPOTS))
    long, middle = (PIT_M + 2) / 2, (PIT_M - 2) / 2
    gutter = (KICK_M - EDGE_M) / 2
    still = f'<geom type="box" size="{EDGE_M} {long} 0.1" pos="0 {middle} -0.1" class="floor"/>'
    still += f'<geom type="box" size="2 0.1 3" pos="0 {PIT_M + 0.7} 0" class="wall"/>'
    for side in (-1, 1):
        still += f'<geom type="box" size="{gutter} {long} 0.1" pos="{side * (EDGE_M + gutter)} {middle} {-0.1 - GUTTER_M}" class="floor"/>'
        still += f'<geom type="box" size="0.1 3 2" pos="{side * (KICK_M + 0.1)} 0 0.5" class="wall"/>'
    return f"""<mujoco><option timestep="{step_s}" gravity="0 0 -9.80665" cone="elliptic" integrator="implicitfast"><flag sleep="enable"/></option>
<size memory="64M"/>
<default><geom {SOFT}/><default class="pin"><geom friction="0.17 0.0005 0.0001"/></default>
<default class="floor"><geom friction="0.31 0.0005 0.0001"/></default><default class="wall"><geom friction="0.3 0.0005 0.0001"/></default>
<default class="ball"><geom friction="0.198 0.0005 0.0001" priority="1"/></default></default>
<asset>{meshes}</asset><worldbody>{still}{pins}
<body name="ball" pos="0 -1 {BALL_M}"><freejoint/><inertial pos="0 0 0" mass="{BALL_KG}" diaginertia="{ball} {ball} {ball}"/>
<geom type="sphere" size="{BALL_M}" class="ball"/></body></worldbody></mujoco>"""


def throw(model, data, line, look_s=0.008):
    """One rack, to the special engine's rules of when nothing more can fall: pins left as bits, simulated time, and the
    processor time of the engine's steps alone, without this script's looking."""
    mujoco.mj_resetData(model, data)
    x, y, vx, vy, *spin = line[:7]
    q, v = data.qpos.reshape(11, 7), data.qvel.reshape(11, 6)
    q[:10, :2] += line[7:27].reshape(10, 2)
    back = 0.03 / math.hypot(vx, vy)
    q[10, :3] = x - vx * back, y - vy * back, BALL_M
    v[10, :3] = vx, vy, 0
    v[10, 3:] = spin
    weight = PIN_KG * 9.80665
    barrier = weight * (math.hypot(CG_M, OUTLINE[0][1] / 2 * INCH) - CG_M)
    steps = round(look_s / model.opt.timestep)
    gone, spent = np.zeros(10, bool), 0.0
    while data.time < 6:
        begun = time.process_time()
        mujoco.mj_step(model, data, steps)
        spent += time.process_time() - begun
        at, lin, ang = q[:10, :3], v[:10, :3], v[:10, 3:]
        w, i, j, _ = q[:10, 3:].T
        up, rise = 1 - 2 * (i * i + j * j), at[:, 2] - CG_M
        across2 = ang[:, 0] ** 2 + ang[:, 1] ** 2
        swing = np.sqrt(across2 + (ang[:, 2] * (AXIAL_M / ACROSS_M) ** 2) ** 2) * REACH_M
        sweep = np.linalg.norm(lin, axis=1) + swing
        past = at[:, 1] - PIT_M
        lost = ((past > 0.05) & (at[:, 2] < -0.05)) | ((past > 0.2) & (lin[:, 1] > 0)) | (past > 0.5) | (at[:, 2] < -0.5)
        lost |= (abs(at[:, 0]) > EDGE_M + 0.1) & (at[:, 2] < 0.05) & (sweep < 1)
        for pin in np.flatnonzero(lost & ~gone):
            # Out of the way, falling where there is nothing.
            q[pin, :3], v[pin] = (3 + pin, 9, -50), 0
        gone |= lost
        falls = lin[:, 2] < 0
        down = gone | (up < 0.6) | (rise < -0.022) | ((up < 0.96) & (rise < 0.01) & falls)
        energy = 0.5 * PIN_KG * ((lin ** 2).sum(1) + ACROSS_M ** 2 * across2 + AXIAL_M ** 2 * ang[:, 2] ** 2)
        stands = ~down & (up > 0.988) & (abs(rise) < 0.01) & (energy + weight * rise < 0.9 * barrier)
        ball_gone = q[10, 1] > PIT_M + 2 * BALL_M
        if (not ball_gone and v[10, 1] > 0.3) or not (down | stands).all():
            continue
        toward = at[None, stands, :2] - at[:, None, :2]
        gap = np.linalg.norm(toward, axis=2) - REACH_M - BELLY_M
        leaves = (gap > 0.3) | ((gap > 0) & ((toward * lin[:, None, :2]).sum(2) < 0))
        harmless = gone | (sweep < 0.4) | ((sweep < 2) & leaves.all(1))
        if (harmless | ~down).all():
            break
    standing = ~gone & (up > 0.985) & (abs(rise) < 0.01)
    return int((standing * 2 ** np.arange(10)).sum()), data.time, spent


def ours(binary, first, last, *more):
    """Output and processor time of the rack engine."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    out = subprocess.run([binary, str(first), str(last), *more], capture_output=True, text=True, check=True).stdout
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return out, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main():
    binary = sys.argv[1]
    racks, step_ms = int(sys.argv[2]) if len(sys.argv) > 2 else 60, float(sys.argv[3]) if len(sys.argv) > 3 else 1.0
    kind = sys.argv[4] if len(sys.argv) > 4 else "hulls"
    model = mujoco.MjModel.from_xml_string(scene(step_ms / 1e3, hull_geoms() if kind == "hulls" else sphere_geoms()))
    data = mujoco.MjData(model)
    spent = {"here": 0.0, "robotics": 0.0}
    left, batch, repeat = [], 10, 100
    strikes, simulated = [0, 0], 0.0
    _, start_up = ours(binary, 0, 0)
    for first in range(0, racks, batch):
        lines, _ = ours(binary, first, first + batch, "list")
        # Enough racks that starting the program hardly counts.
        _, cpu = ours(binary, first * repeat, (first + batch) * repeat)
        spent["here"] += (cpu - start_up) / repeat
        for line in lines.splitlines():
            *numbers, standing = line.split()
            theirs, seconds, stepping = throw(model, data, np.array(numbers, float))
            spent["robotics"] += stepping
            simulated += seconds
            left.append((int(standing), theirs))
            strikes[0] += standing == "0"
            strikes[1] += theirs == 0
    here, there = spent["here"] / racks * 1e3, spent["robotics"] / racks * 1e3
    print(f"mujoco {mujoco.__version__}, pins as {kind}, step {step_ms} ms, {racks} racks of a professional's entries")
    print(f"processor time of a rack: {here:.3f} ms here, {there:.1f} ms there, ratio {there / here:.0f}; {simulated / racks:.2f} s simulated there")
    mean = np.array([[bin(m).count("1") for m in pair] for pair in left]).mean(0)
    print(f"strikes {100 * strikes[0] / racks:.0f}% here, {100 * strikes[1] / racks:.0f}% there; pins left {mean[0]:.2f}, {mean[1]:.2f}")


if __name__ == "__main__":
    main()
