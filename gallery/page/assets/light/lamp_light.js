// The light of a lamp, from its layers: pictures whose pixels are numbers.

/**
 * Return the RGBA bytes of a layer, as they were written.
 *
 * Throws an Error in a browser that alters what a page reads of its own pictures, so as not to be recognised by it.
 */
export async function decodeLayer({ webp, mean }) {
  const bytes = Uint8Array.from(atob(webp), (character) => character.charCodeAt(0));
  const asWritten = { premultiplyAlpha: "none", colorSpaceConversion: "none" };
  const bitmap = await createImageBitmap(new Blob([bytes], { type: "image/webp" }), asWritten);
  const canvas = Object.assign(document.createElement("canvas"), { width: bitmap.width, height: bitmap.height });
  const context = canvas.getContext("2d", { willReadFrequently: true });
  context.drawImage(bitmap, 0, 0);
  bitmap.close();
  const { data } = context.getImageData(0, 0, canvas.width, canvas.height);
  const sum = data.reduce((before, value) => before + value, 0) - 255 * (data.length / 4);
  if (Math.abs(sum / (0.75 * data.length) - mean) > 0.5) throw new Error("this browser alters the pixels of pictures");
  return data;
}

/**
 * Add a lamp's light to XYZ, three values a pixel.
 *
 * `matrix` is to XYZ from the channels of its own layer and, if it has a layer of ratios, from those times the ratios.
 */
export function addLight(light, [own, ratio], matrix, { lightOfCodes, ratioOfCodes }) {
  const [curve, ratios] = [Float64Array.from(lightOfCodes), Float64Array.from(ratioOfCodes)];
  const [[xr, xg, xb, xr2, xg2, xb2], [yr, yg, yb, yr2, yg2, yb2], [zr, zg, zb, zr2, zg2, zb2]] = matrix;
  for (let i = 0, j = 0; j < light.length; i += 4, j += 3) {
    const r = curve[own[i]];
    const g = curve[own[i + 1]];
    const b = curve[own[i + 2]];
    let x = xr * r + xg * g + xb * b;
    let y = yr * r + yg * g + yb * b;
    let z = zr * r + zg * g + zb * b;
    if (ratio) {
      const r2 = r * ratios[ratio[i]];
      const g2 = g * ratios[ratio[i + 1]];
      const b2 = b * ratios[ratio[i + 2]];
      x += xr2 * r2 + xg2 * g2 + xb2 * b2;
      y += yr2 * r2 + yg2 * g2 + yb2 * b2;
      z += zr2 * r2 + zg2 * g2 + zb2 * b2;
    }
    light[j] += x;
    light[j + 1] += y;
    light[j + 2] += z;
  }
}
