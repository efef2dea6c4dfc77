// White balance: what is rendered neutral, and the matrix that does it.

/** Return what is tabulated for a colour temperature; between two that are, linear in mired. */
export function colourAt(colours, kelvin) {
  const above = colours.findIndex((colour) => colour.kelvin >= kelvin);
  if (above <= 0) return colours.at(above);
  const [warm, cool] = [colours[above - 1], colours[above]];
  const share = (1 / kelvin - 1 / warm.kelvin) / (1 / cool.kelvin - 1 / warm.kelvin);
  const between = (a, b) => (Array.isArray(a) ? a.map((value, i) => between(value, b[i])) : a + (b - a) * share);
  return Object.fromEntries(Object.keys(cool).map((key) => [key, between(warm[key], cool[key])]));
}

/**
 * Return the correlated colour temperature of a white, XYZ; null where it lies beyond `blackbodies`, rising in kelvin.
 *
 * Between two of which the lines at right angles to the locus in CIE 1960 (u, v) have the white between them, in mired
 * by its distances from both (A. R. Robertson, 1968).
 */
export function correlatedKelvin(white, blackbodies) {
  const [u, v] = uv1960(white);
  const locus = blackbodies.map((colour) => uv1960(colour.white));
  const beyond = locus.map(([u0, v0], i) => {
    const [warm, cool] = [locus[Math.max(i - 1, 0)], locus[Math.min(i + 1, locus.length - 1)]];
    const [du, dv] = [cool[0] - warm[0], cool[1] - warm[1]];
    return ((u - u0) * du + (v - v0) * dv) / Math.hypot(du, dv);
  });
  const i = beyond.findIndex((distance, at) => distance >= 0 && beyond[at + 1] < 0);
  if (i < 0) return null;
  const [warm, cool] = [1 / blackbodies[i].kelvin, 1 / blackbodies[i + 1].kelvin];
  return 1 / (warm + ((cool - warm) * beyond[i]) / (beyond[i] - beyond[i + 1]));
}

function uv1960([x, y, z]) {
  const sum = x + 15 * y + 3 * z;
  return [(4 * x) / sum, (6 * y) / sum];
}

/** Return the white of lamps together, XYZ: each by the luminance that it gives the subject. */
export function mixedWhite(colours, dimmers) {
  const given = colours.map((colour, lamp) => colour.subject * dimmers[lamp]);
  const shares = given.some((luminance) => luminance > 0) ? given : given.map(() => 1);
  const sum = shares.reduce((a, b) => a + b);
  return [0, 1, 2].map((i) => shares.reduce((white, share, lamp) => white + (share / sum) * colours[lamp].white[i], 0));
}

/** Return the matrix from XYZ to linear sRGB that renders a white neutral: adapted to D65 by Bradford. */
export function whiteToSrgb(white, { xyzToCones, conesToSrgb, d65 }) {
  const cones = (xyz) => xyzToCones.map((row) => row.reduce((sum, value, i) => sum + value * xyz[i], 0));
  const [from, to] = [cones(white.map((value) => value / white[1])), cones(d65)];
  const adapted = xyzToCones.map((row, i) => row.map((value) => (value * to[i]) / from[i]));
  return conesToSrgb.map((row) => [0, 1, 2].map((j) => row.reduce((sum, value, i) => sum + value * adapted[i][j], 0)));
}

/** Return a matrix times a number. */
export function scaledMatrix(matrix, factor) {
  return matrix.map((row) => row.map((value) => value * factor));
}
