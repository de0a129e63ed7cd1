import { describe, expect, it } from 'vitest';
import { drawChart } from '../../kernel-helpers/display/chart-picture';
import { smallerPicture } from '../../kernel-helpers/page/smaller-picture';
import { intervalsChart } from '../../src/charts';
import { openChromium } from '../browser/jupyter-lab';

const base64 = (bytes: Uint8Array): string => Buffer.from(bytes).toString('base64');

describe('the picture of a chart on a page', () => {
  it('looks the same to a browser with less than half of the bytes', async () => {
    const items = ['before', 'after'].map((name, i) => ({ name, estimate: { value: 1 + i, low: 0.5, high: 3 } }));
    const chart = intervalsChart(items, 'Pa m3/s', { what: 'gas load', limit: 2 });
    const { png } = drawChart(chart as unknown as Record<string, unknown>);
    const small = smallerPicture(png);
    expect(small.length).toBeLessThan(0.5 * png.length);
    const browser = await openChromium();
    try {
      const page = await browser.newPage();
      const difference = (await page.evaluate(`(async () => {
        const pixels = async (text) => {
          const image = new Image();
          image.src = 'data:image/png;base64,' + text;
          await image.decode();
          const canvas = new OffscreenCanvas(image.width, image.height);
          const context = canvas.getContext('2d');
          context.fillStyle = 'white';
          context.fillRect(0, 0, image.width, image.height);
          context.drawImage(image, 0, 0);
          return context.getImageData(0, 0, image.width, image.height).data;
        };
        const [a, b] = [await pixels('${base64(png)}'), await pixels('${base64(small)}')];
        return [a.length - b.length, Math.max(...Array.from(a, (value, i) => Math.abs(value - b[i])).slice(0, 1e5)),
          a.reduce((sum, value, i) => sum + Math.abs(value - b[i]), 0) / a.length];
      })()`)) as number[];
      expect(difference[0]).toBe(0);
      expect(difference[1]).toBeLessThan(40);
      expect(difference[2]).toBeLessThan(0.5);
    } finally {
      await browser.close();
    }
  });

  it('is left as it is where it is no picture of ours', () => {
    for (const bytes of [
      new Uint8Array(0),
      Uint8Array.from([137, 80, 78, 71]),
      new TextEncoder().encode('x'.repeat(99)),
    ]) {
      expect(smallerPicture(bytes)).toBe(bytes);
    }
  });
});
