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
