// The same document on paper.
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { expect, open, test } from './opened';

test('what is open is printed, marked as a demo on every page, without its buttons, its drawings as large as they say @once', async ({
  page,
}, info) => {
  await open(page);
  const file = info.outputPath('sheet.pdf');
  writeFileSync(file, await page.pdf({ format: 'A4', preferCSSPageSize: false }));
  const text = (from: number, to: number) =>
    execFileSync('pdftotext', [
      '-layout',
      '-f',
      String(from),
      '-l',
      String(to),
      file,
      '-',
    ]).toString();
  const pages = Number(/Pages:\s+(\d+)/.exec(execFileSync('pdfinfo', [file]).toString())?.[1] ?? 0);
  expect(pages).toBeGreaterThan(3);
  for (let p = 1; p <= pages; ++p) expect(text(p, p)).toContain('demo: an invented car');
  const all = text(1, pages);
  expect(all).toContain('Which spacers, and how far must the bracket move the joint?');
  expect(all).toContain('Stop here until');
  // Cautions are on the paper though the working is not.
  expect(all).toContain('never fit one without the other');
  expect(all).not.toContain('Save a copy');
  expect(all).not.toContain('The working');
  // The working of measure is closed and stays off the paper; opened, it is on it.
  expect(all).not.toContain('front.left.arm.lower.upright');
  await page.locator('#measure details > summary').first().click();
  writeFileSync(file, await page.pdf({ format: 'A4' }));
  expect(text(1, 99)).toContain('front.left.arm.lower.upright');
  // A drawing is as large on paper as it says.
  await page.setViewportSize({ width: 703, height: 994 }); // A4 less its margins
  await page.emulateMedia({ media: 'print' });
  // CSS has 96 pixels to the inch on any screen: a plot of 88 mm.
  const wide = await page
    .locator('#travel figure.plot svg')
    .first()
    .evaluate((svg) => (svg.getBoundingClientRect().width / 96) * 25.4);
  const room = await page.locator('main').evaluate((m) => (m.clientWidth / 96) * 25.4);
  expect(wide).toBeCloseTo(Math.min(88, room), 1);
});
