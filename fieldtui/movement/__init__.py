"""What the ground is doing, as far as the readings can tell: laws and their end values, rest, acceleration, anchors.

laws                how convergence goes on with time and with the face: columns, exact derivatives
course              one chord's readings as arrays, with what their errors share
scan, fit           a law fitted: starts of its own, scipy's least squares, covariance
interval            the end value's interval by profile likelihood
acceleration        is a chord speeding up, by its last readings
rest, stability     when a law comes to rest; is a chord at rest by the route's rule
inverse_velocity    points for discussion
answer              every law side by side, or why there is no answer

network, datum      a station's anchors and chords; what chords leave free, and what is assumed instead
displacement        anchors from chords: adjustment, rank, closure, residuals

chord, station      a job's chord as a course; a job's station between two surveys
review, glance      all there is to say of one chord; all chords, what matters most first

planned             readings that are not taken yet: uncertainties by the reduction itself
sight               what a layout will see: error ellipses, unseen movements, what a blocked chord costs
ellipses, layouts   the same drawn and told; of all layouts of a route

canvas, scale       dots and signs in cells; ticks
chart, charts       movement drawn against time and face; of a job
sheet, arrows       displacements drawn on the section, and in figures

It computes with numpy and scipy, and is loaded when movement is asked for: never on the way of the walk. It forecasts
figures of the readings; nothing here says that ground is safe.
"""
