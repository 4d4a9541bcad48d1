// Parts, their files, and how the car will sit.
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { expect, fits, noBarriers, openTock, settled, test } from './opened';
import { tockWithParts } from './texts';

test('parts are drawn and judged, and redrawn when a size is typed; then how the car sits', async ({
  page,
}) => {
  await openTock(page, tockWithParts);
  const make = page.locator('#make');
  await expect(make.locator('.answer')).toContainText('parts to make for each side');
  // The caution stands though the working is closed.
  await expect(make.locator('.care').first()).toContainText(
    'a calculated part is not an approved part',
  );
  await expect(make.locator('.care', { hasText: 'a rod end that lets go' }).first()).toBeVisible();
  await make.locator('summary', { hasText: 'The working' }).click();
  const drawings = make.locator('figure.own-page svg');
  await expect(drawings).toHaveCount(4);
  await expect(drawings.first()).toContainText('Ø74');
  await fits(page);
  await noBarriers(page, '#make');
  await make.locator('summary', { hasText: 'Files for the printer' }).click();
  await noBarriers(page, '#make');
  const values = make.locator('details.values-made');
  await values.locator('> summary').click();
  const group = values.locator('details.group', { hasText: /^make/ }).first();
  await group.locator('> summary').first().click();
  await values.locator('details.group details.group > summary').first().click();
  const outside = values.getByLabel(/outside$/).first();
  await outside.fill('80');
  await outside.press('Enter');
  await expect(drawings.first()).toContainText('Ø80');
  // A bore larger than that: refused where it was typed, and nothing changes.
  const bore = values.getByLabel(/bore$/).first();
  await bore.fill('90');
  await bore.press('Enter');
  await expect(values.getByRole('alert')).toContainText('leaves no wall');
  await expect(drawings.first()).toContainText('Ø80');

  await settled(page);
  const settle = page.locator('#settle');
  await expect(settle.locator('.answer')).toContainText('per g');
  await settle.locator('summary', { hasText: 'The working' }).click();
  await expect(settle.locator('figure svg').first()).toBeVisible();
  await fits(page);
  await noBarriers(page, '#settle');
});

test('a part is saved for the saw, and its template printed as large as it says @once', async ({
  page,
}, info) => {
  await page.addInitScript(() => (window.print = () => undefined));
  await openTock(page, tockWithParts);
  const bracket = page.getByRole('group', { name: 'Files of the toe-link bracket' });
  await page.locator('#make summary', { hasText: 'Files for the printer' }).click();
  const saving = page.waitForEvent('download');
  await page.getByLabel('side of the car').selectOption('right');
  await bracket.getByRole('button', { name: 'Save DXF' }).click();
  const dxf = await saving;
  expect(dxf.suggestedFilename()).toBe('toe-link-bracket-R.dxf');
  const text = readFileSync((await dxf.path())!, 'latin1');
  expect(text).toContain('AC1009');
  expect(text).toMatch(/\bCIRCLE\b/);
  expect(text).toContain('EOF');

  await page.getByLabel('side of the car').selectOption('left');
  await bracket.getByRole('button', { name: 'Print the template, 1:1' }).click();
  await expect(page.locator('.templates')).toBeAttached();
  await page.emulateMedia({ media: 'print' });
  await expect(page.locator('.templates svg').first()).toBeVisible();
  const file = info.outputPath('template.pdf');
  writeFileSync(file, await page.pdf({ preferCSSPageSize: true }));
  const size = /Page size:\s+([\d.]+) x ([\d.]+)/.exec(execFileSync('pdfinfo', [file]).toString())!;
  const [short, long] = [Number(size[1]), Number(size[2])].sort((a, b) => a - b);
  expect(short).toBeCloseTo((210 / 25.4) * 72, 0);
  expect(long).toBeCloseTo((297 / 25.4) * 72, 0);
  expect(execFileSync('pdftotext', [file, '-']).toString()).toContain('not an approved part');
  // The bar that the printer is checked by: the longest dark run of the page is 100 mm.
  execFileSync('pdftoppm', ['-r', '300', '-gray', '-f', '1', '-l', '1', file, `${file}-bar`]);
  const pgm = readFileSync(`${file}-bar-1.pgm`);
  const head = /^P5\s+(\d+)\s+(\d+)\s+\d+\s/.exec(pgm.subarray(0, 40).toString('latin1'))!;
  const [wide, high] = [Number(head[1]), Number(head[2])];
  const runs = new Map<number, number>();
  for (let y = 0; y < high; ++y) {
    let run = 0;
    for (let x = 0; x < wide; ++x) {
      run = pgm[head[0].length + y * wide + x]! < 128 ? run + 1 : 0;
      const mm = (run / 300) * 25.4;
      if (mm > 99 && mm < 101) runs.set(y, mm);
    }
  }
  const bars = [...runs.values()].filter((mm) => Math.abs(mm - 100) <= 0.1);
  expect(bars.length).toBeGreaterThan(3); // rows of pixels: a bar is 0.5 mm or more thick
});
