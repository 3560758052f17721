"""What the ground is doing, as far as the readings can tell: laws and their end values, rest, acceleration, anchors.

laws           how convergence goes on with time and with the face: columns, exact derivatives
course         one chord's readings as arrays, with what their errors share
scan, fit      a law fitted: starts of its own, scipy's least squares, covariance
interval       the end value's interval by profile likelihood

It computes with numpy and scipy, and is loaded when movement is asked for: never on the way of the walk. It forecasts
figures of the readings; nothing here says that ground is safe.
"""
