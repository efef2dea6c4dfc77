// Light in 8 bits of sRGB, dithered as the frames are.

const FINEST_LIGHT = 65535;

/** The levels of sRGB (IEC 61966-2-1), 0 to 255, of linear values in steps of 1 / FINEST_LIGHT. */
const SRGB_LEVELS = Float32Array.from({ length: FINEST_LIGHT + 1 }, (_, i) => {
  const linear = i / FINEST_LIGHT;
  return 255 * (linear <= 0.0031308 ? 12.92 * linear : 1.055 * linear ** (1 / 2.4) - 0.055);
});

/** Return the share of a level from which each pixel rounds up: interleaved gradient noise (J. Jimenez, 2014). */
export function ditherThresholds(width, height) {
  const margin = 1 / 256; // what is a whole level but for rounding stays that level
  return Float32Array.from({ length: width * height }, (_, pixel) => {
    const [row, column] = [Math.floor(pixel / width), pixel % width];
    const noise = (52.9829189 * ((0.06711056 * column + 0.00583715 * row) % 1)) % 1;
    return margin + (1 - 2 * margin) * noise;
  });
}

/** Return RGBA bytes of XYZ, three values a pixel, by a matrix to linear sRGB; a pixel's channels share a threshold. */
export function encodeDithered(light, [[rx, ry, rz], [gx, gy, gz], [bx, by, bz]], thresholds) {
  const pixels = new Uint8ClampedArray((light.length / 3) * 4);
  const bytes = new Uint8Array(pixels.buffer); // which rounds down, as clamped ones do not
  const level = (linear) => SRGB_LEVELS[(Math.min(Math.max(linear, 0), 1) * FINEST_LIGHT + 0.5) | 0];
  for (let i = 0, j = 0, pixel = 0; j < light.length; i += 4, j += 3, pixel += 1) {
    const x = light[j];
    const y = light[j + 1];
    const z = light[j + 2];
    const up = 1 - thresholds[pixel];
    bytes[i] = level(rx * x + ry * y + rz * z) + up;
    bytes[i + 1] = level(gx * x + gy * y + gz * z) + up;
    bytes[i + 2] = level(bx * x + by * y + bz * z) + up;
    bytes[i + 3] = 255;
  }
  return pixels;
}
