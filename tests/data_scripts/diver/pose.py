"""Where the diver's joints stand (cm): the weight on one leg, the other foot up on a rock.

Left and right are the diver's own: the left hand holds the staff, at camera right.
"""

from __future__ import annotations

import numpy as np

HELMET = np.array([0.0, 0.05, 14.95])
HELMET_RADIUS = 1.62

SHOULDER_R, ELBOW_R, WRIST_R = (-2.5, 0.1, 11.4), (-3.65, 0.55, 9.35), (-3.2, -1.2, 8.25)
SHOULDER_L, ELBOW_L, WRIST_L = (2.5, 0.1, 11.4), (3.45, 0.5, 9.45), (4.0, -0.75, 11.15)
HIP_R, KNEE_R, ANKLE_R = (-1.0, 0.1, 8.0), (-1.35, -0.15, 4.95), (-1.45, 0.3, 2.1)
HIP_L, KNEE_L, ANKLE_L = (1.0, 0.05, 7.9), (1.95, -1.3, 5.4), (2.15, -0.95, 2.75)

HAND_R = np.array([-3.22, -1.72, 8.0])  # the bar that each hand closes round passes through here
HAND_L = np.array([4.95, -1.2, 11.55])
STAFF_FOOT = np.array([4.87, -1.0, 0.9])
STAFF_TOP = np.array([5.02, -1.32, 18.0])

SOLE_R, SOLE_L = 1.2, 1.85  # heights of the undersides of the boots
TOE_OUT_R, TOE_OUT_L = 22.0, 24.0  # degrees

WAIST = np.array([0.0, -0.02, 8.85])
