// The car in the drawing beside the sheet.
import type { Locator, Page } from '@playwright/test';
import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import {
  beginTock,
  begun,
  change,
  expect,
  fileText,
  fits,
  noBarriers,
  open,
  openTock,
  rests,
  settled,
  shelve,
  test,
} from './opened';
import { cars, surveyed, tockInDoubt } from './texts';

const drawing = (page: Page) => page.getByRole('application', { name: /^The car drawn/ });
const car = (page: Page) => page.getByRole('complementary', { name: 'The car, drawn' });
const slider = (page: Page, of: RegExp) => car(page).getByRole('slider', { name: of });

// What of a picture is not paper, how dark it is on average, and the picture itself.
async function inkOf(page: Page, png: Buffer) {
  return page.evaluate(async (letters) => {
    const bytes = Uint8Array.from(atob(letters), (c) => c.charCodeAt(0));
    const image = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
    const canvas = new OffscreenCanvas(image.width, image.height);
    const context = canvas.getContext('2d')!;
    context.drawImage(image, 0, 0);
    const { data } = context.getImageData(0, 0, image.width, image.height);
    // Paper is what stands in the corner, inside the border.
    const at = 4 * (2 * image.width + 2);
    let [ink, dark] = [0, 0];
    for (let i = 0; i < data.length; i += 4) {
      const off = [0, 1, 2].reduce((sum, k) => sum + Math.abs(data[i + k]! - data[at + k]!), 0);
      if (off < 60) continue;
      ink += 1;
      dark += (data[i]! + data[i + 1]! + data[i + 2]!) / 3;
    }
    return { share: (4 * ink) / data.length, grey: ink ? dark / ink : 255 };
  }, png.toString('base64'));
}
const picture = (page: Page) => drawing(page).screenshot();
async function drawn(page: Page) {
  // What drives it is folded on a small screen.
  await expect(car(page).locator('.says')).toContainText('as it sits');
  const drives = car(page).locator('details', { hasText: 'Drive it' }).last();
  if (!(await drives.evaluate((d) => (d as HTMLDetailsElement).open)))
    await drives.locator('> summary').click();
  await expect
    .poll(async () => (await inkOf(page, await picture(page))).share, { timeout: 20_000 })
    .toBeGreaterThan(0.02);
}
// What the canvas itself holds, wherever it stands on the screen.
const lines = (page: Page) =>
  page.locator('.car canvas').evaluate((c) => (c as HTMLCanvasElement).toDataURL());
async function changedFrom(page: Page, before: string) {
  await expect.poll(async () => (await lines(page)) !== before).toBe(true);
}
async function sameAs(page: Page, before: string) {
  await expect.poll(async () => (await lines(page)) === before).toBe(true);
}
// Nothing moves any more.
async function still(page: Page) {
  let last = await lines(page);
  await expect
    .poll(async () => {
      const now = await lines(page);
      const same = now === last;
      last = now;
      return same;
    })
    .toBe(true);
  return last;
}
async function openCar(page: Page, name: string) {
  await page.getByLabel('Open a file').setInputFiles({
    name,
    mimeType: 'text/plain',
    buffer: readFileSync(`${cars}/${name}`),
  });
  await expect(page.locator('.title')).toContainText(name);
  await begun(page);
  await drawn(page);
}
async function pickFromTable(page: Page, words: string): Promise<Locator> {
  const table = car(page).locator('details.coordinates');
  if (!(await table.evaluate((d) => (d as HTMLDetailsElement).open)))
    await table.locator('summary').click();
  await table.getByRole('button', { name: words, exact: true }).click();
  return car(page).getByRole('region', { name: 'The joint in hand' });
}

test('the car is drawn, fits, has no barriers, and is driven by its sliders', async ({ page }) => {
  await openTock(page, tockInDoubt);
  await drawn(page);
  await fits(page);
  await noBarriers(page);
  const before = await still(page);
  const said = await car(page).locator('.says').innerText();
  await slider(page, /^Wheel travel/).fill('30');
  await expect(slider(page, /^Wheel travel/)).toHaveAttribute('aria-valuetext', /\+30\.0/);
  await changedFrom(page, before);
  await expect(car(page).locator('.says')).not.toHaveText(said);
  await slider(page, /^Body roll/).fill('3');
  await expect(car(page).locator('.says')).toContainText('left');
  await slider(page, /^Rack/).fill('20');
  await car(page).getByRole('button', { name: 'At ride height' }).click();
  await expect(slider(page, /^Body roll/)).toHaveValue('0');
  await sameAs(page, before);
  // What can be shown besides.
  for (const what of ['As it stood before', 'Doubts of the survey']) {
    const last = await still(page);
    await car(page)
      .getByRole('checkbox', { name: new RegExp(what) })
      .check();
    await changedFrom(page, last);
  }
  await expect(car(page)).toContainText('three times its standard uncertainty');
  await expect(car(page).locator('.says')).toContainText('as corrected');
  for (const view of ['From behind', 'From the side', 'From above']) {
    const last = await still(page);
    await car(page).getByRole('button', { name: view }).click();
    await changedFrom(page, last);
  }
  await expect(drawing(page)).toHaveAccessibleName(/drawn from above/);
  await car(page).locator('details.coordinates summary').click();
  await expect(car(page).locator('tbody tr')).toHaveCount(
    await page.evaluate(() => document.querySelectorAll('.car tbody .name').length),
  );
  await fits(page);
  await noBarriers(page);
});

test('by keys alone it is turned, driven, and a joint taken up; it plays, only steps where no motion is wanted, and a lost context comes back @once', async ({
  page,
}) => {
  await openTock(page);
  await drawn(page);
  const before = await still(page);
  await drawing(page).focus();
  await expect(drawing(page)).toBeFocused();
  await page.keyboard.press('ArrowLeft');
  await page.keyboard.press('ArrowLeft');
  await changedFrom(page, before);
  await page.keyboard.press('+');
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('Home');
  await sameAs(page, before);
  await slider(page, /^Wheel travel/).focus();
  await page.keyboard.press('ArrowRight');
  await expect(slider(page, /^Wheel travel/)).toHaveValue('1');
  await car(page).locator('details.coordinates summary').focus();
  await page.keyboard.press('Enter');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await expect(car(page).getByRole('region', { name: 'The joint in hand' })).toBeVisible();
  // Played.
  await car(page).getByRole('button', { name: 'At ride height' }).click();
  const travel = slider(page, /^Wheel travel/);
  await car(page).getByRole('button', { name: 'Play travel' }).click();
  await expect.poll(async () => Number(await travel.inputValue())).toBeGreaterThan(10);
  await expect.poll(async () => Number(await travel.inputValue())).toBeLessThan(-10);
  await car(page).getByRole('button', { name: 'Stop', exact: true }).click();
  const at = await travel.inputValue();
  await still(page);
  expect(await travel.inputValue()).toBe(at);
  await page.emulateMedia({ reducedMotion: 'reduce' });
  await car(page).getByRole('button', { name: 'At ride height' }).click();
  const rest = await still(page);
  await car(page).getByRole('button', { name: 'A step of travel' }).click();
  await expect(travel).toHaveValue('21');
  await changedFrom(page, rest);
  await still(page);
  await expect(travel).toHaveValue('21');
  for (let i = 0; i < 11; ++i)
    await car(page).getByRole('button', { name: 'A step of travel' }).click();
  await expect(travel).toHaveValue('0');
  // Its context lost.
  const last = await still(page);
  await page.evaluate(() => {
    const context = document.querySelector<HTMLCanvasElement>('.car canvas')!.getContext('webgl2')!;
    const hand = context.getExtension('WEBGL_lose_context')!;
    Object.assign(window, { back: () => hand.restoreContext() });
    hand.loseContext();
  });
  await expect(car(page)).toContainText('comes back by itself');
  await page.evaluate(() => (window as unknown as { back: () => void }).back());
  await sameAs(page, last);
});

test('a joint is lit in the drawing and in the sheet, from either, and picked where it is drawn', async ({
  page,
}) => {
  await shelve(page, 'surveyed.toml', surveyed);
  await open(page);
  await drawn(page);
  const plain = await still(page);
  const joint = await pickFromTable(page, "front left ball joint of arm 'lower'");
  await expect(joint.getByRole('heading')).toHaveText("front left ball joint of arm 'lower'");
  await expect(joint).toContainText('±');
  await changedFrom(page, plain);
  // The readings of this car decide where it is, and nothing pretends otherwise.
  await expect(joint).toContainText('only where the search begins');
  await expect(joint.getByRole('button', { name: /half a millimetre/ })).toHaveCount(0);
  await noBarriers(page);
  await joint.getByRole('button', { name: 'Its values in the file' }).click();
  const row = page.locator('.value-row.lit');
  await expect(row).toHaveCount(1);
  await expect(row).toHaveAttribute('data-joint', 'front.arm.lower.upright');
  await expect(row.getByRole('textbox').first()).toBeFocused();
  await expect(row).toBeInViewport();
  await noBarriers(page);
  // Back: the field that has the focus is the joint that is lit.
  await page.getByLabel('front.arm.lower body_front 2', { exact: true }).focus();
  await expect(joint.getByRole('heading')).toHaveText(
    "front left front inner joint of arm 'lower'",
  );
  await expect(page.locator('.value-row.lit')).toHaveAttribute(
    'data-joint',
    'front.arm.lower.body_front',
  );
  await expect(car(page).locator('tr.lit')).toHaveCount(2); // both sides
  await joint.getByRole('button', { name: 'Let go of it' }).click();
  await expect(page.locator('.lit')).toHaveCount(0);
  // Picked where it is drawn.
  await car(page).getByRole('button', { name: 'From behind' }).click();
  await car(page).getByRole('combobox', { name: /^Show/ }).selectOption('front');
  await still(page);
  const box = (await drawing(page).boundingBox())!;
  // Among the joints of the left wheel, seen from behind, there is one wherever the hand goes in.
  for (let i = 0; i < 40 && (await joint.count()) === 0; ++i) {
    const place = {
      x: box.width * (0.1 + 0.02 * (i % 10)),
      y: box.height * (0.5 + 0.1 * (i / 10)),
    };
    await drawing(page).click({ position: place });
    await page.waitForTimeout(50);
  }
  await expect(joint.getByRole('heading')).toContainText('front left');
});

test('a nudge edits the file and keeps its ±, and undo brings it back @once', async ({ page }) => {
  await openTock(page, tockInDoubt);
  await drawn(page);
  const text = await fileText(page);
  const before = await still(page);
  const joint = await pickFromTable(page, 'front left hub centre');
  await joint.getByRole('button', { name: 'z more by half a millimetre' }).click();
  await expect.poll(() => fileText(page)).toContain('"280.5 ± 1 mm"');
  expect(await fileText(page)).toBe(text.replace('"280 ± 1 mm"', '"280.5 ± 1 mm"'));
  await expect(joint.getByLabel('z in the file')).toHaveValue('280.5 ± 1 mm');
  // As fast as a hand clicks: each counts.
  for (let i = 0; i < 3; ++i)
    await joint.getByRole('button', { name: 'y less by half a millimetre' }).click();
  await expect(joint.getByLabel('y in the file')).toHaveValue('692');
  await changedFrom(page, before);
  // Typed, and refused where it is none.
  await joint.getByLabel('x in the file').fill('3 kg');
  await joint.getByLabel('x in the file').press('Enter');
  await expect(joint.getByRole('alert')).toContainText('centre');
  await expect(joint.getByLabel('x in the file')).toHaveValue('-0.2');
  await noBarriers(page);
  await settled(page);
  for (let i = 0; i < 4; ++i) await page.getByRole('button', { name: 'Undo' }).click();
  await expect.poll(() => fileText(page)).toBe(text);
  await expect(joint.getByLabel('y in the file')).toHaveValue('693.5');
});

test('by night as well, the car in light ink; folded away it is gone', async ({ page }) => {
  await page.emulateMedia({ colorScheme: 'dark' });
  await open(page);
  await drawn(page);
  expect((await inkOf(page, await picture(page))).grey).toBeGreaterThan(90);
  await noBarriers(page);
  await page.getByLabel('Colours').selectOption('light');
  await expect(page.locator('html')).toHaveAttribute('data-shade', 'light');
  await expect.poll(async () => (await inkOf(page, await picture(page))).grey).toBeLessThan(170);
  await noBarriers(page);
  await car(page).getByText('The car, drawn', { exact: true }).click();
  await expect(drawing(page)).toHaveCount(0);
  await noBarriers(page);
  await fits(page);
  await car(page).getByText('The car, drawn', { exact: true }).click();
  await drawn(page);
  await page.reload();
  await expect(page.locator('html')).toHaveAttribute('data-shade', 'light');
});

test('it is printed, in ink on white paper whatever the screen has @once', async ({
  page,
}, info) => {
  await page.emulateMedia({ colorScheme: 'dark' });
  await openTock(page);
  await drawn(page);
  const file = info.outputPath('sheet.pdf');
  writeFileSync(file, await page.pdf({ format: 'A4' }));
  const first = info.outputPath('first');
  execFileSync('pdftoppm', ['-r', '60', '-png', '-f', '1', '-l', '1', '-singlefile', file, first]);
  expect(execFileSync('pdfimages', ['-list', file]).toString()).toMatch(/image/);
  const words = execFileSync('pdftotext', ['-layout', '-l', '1', file, '-']).toString();
  expect(words).toContain('as it sits');
  expect(words).not.toContain('At ride height');
  // Lines of the drawing are on it: much more ink than without it.
  const withIt = await inkOf(page, readFileSync(`${first}.png`));
  expect(withIt.grey).toBeLessThan(170);
  await car(page).getByText('The car, drawn', { exact: true }).click();
  writeFileSync(file, await page.pdf({ format: 'A4' }));
  expect(execFileSync('pdfimages', ['-list', file]).toString()).not.toMatch(/image/);
  // The screen has its own colours again.
  await car(page).getByText('The car, drawn', { exact: true }).click();
  await drawn(page);
  expect((await inkOf(page, await picture(page))).grey).toBeGreaterThan(90);
});

test('what a car drew with is given back when another is opened @once', async ({ page }) => {
  await page.addInitScript(() => {
    const all = new Set<WebGL2RenderingContext>();
    const real = HTMLCanvasElement.prototype.getContext;
    HTMLCanvasElement.prototype.getContext = function (this: HTMLCanvasElement, ...asked: [never]) {
      const context = real.apply(this, asked) as unknown;
      if (context instanceof WebGL2RenderingContext) all.add(context);
      return context;
    } as unknown as typeof real;
    Object.assign(window, {
      contexts: () => [all.size, [...all].filter((c) => !c.isContextLost()).length],
    });
  });
  await beginTock(page);
  await drawn(page);
  const contexts = () =>
    page.evaluate(() => (window as unknown as { contexts: () => [number, number] }).contexts());
  for (let i = 0; i < 5; ++i)
    await openCar(page, i % 2 ? 'pip-as-built.toml' : 'nibbet-as-built.toml');
  await expect.poll(contexts).toEqual([6, 1]);
});

test('a browser that draws nothing in 3D shows the words and the table @once', async ({ page }) => {
  await page.addInitScript(() => {
    const real = HTMLCanvasElement.prototype.getContext;
    HTMLCanvasElement.prototype.getContext = function (
      this: HTMLCanvasElement,
      kind: string,
      ...more: never[]
    ) {
      return kind.startsWith('webgl') ? null : real.call(this, kind as never, ...more);
    } as unknown as typeof real;
  });
  await openTock(page);
  await expect(car(page)).toContainText('gives no place to draw');
  await expect(drawing(page)).toHaveCount(0);
  await expect(page.getByRole('alert')).toHaveCount(0);
  await expect(car(page).locator('.says')).toContainText('roll centre');
  const said = await car(page).locator('.says').innerText();
  await slider(page, /^Wheel travel/).fill('-20');
  await expect(car(page).locator('.says')).not.toHaveText(said);
  await car(page).getByRole('button', { name: 'Play travel' }).click();
  await expect
    .poll(async () => Number(await slider(page, /^Wheel travel/).inputValue()))
    .toBeGreaterThan(10);
  await car(page).getByRole('button', { name: 'Stop', exact: true }).click();
  const joint = await pickFromTable(page, "front left inner joint of rod 'steering'");
  await expect(joint).toBeVisible();
  await noBarriers(page);
});

// A wide screen has it beside the sheet.
test('while reading on a phone a strip of it stays, and can be folded away @phone', async ({
  page,
}) => {
  await openTock(page);
  await drawn(page);
  await page.locator('#travel').evaluate((e) => e.scrollIntoView({ behavior: 'instant' }));
  const high = page.viewportSize()!.height;
  await expect.poll(async () => (await drawing(page).boundingBox())!.y).toBe(0);
  const box = (await drawing(page).boundingBox())!;
  expect(box.height).toBeLessThanOrEqual(0.25 * high);
  await expect
    .poll(async () => (await inkOf(page, await picture(page))).share)
    .toBeGreaterThan(0.02);
  // What is gone to lies below it.
  const head = (await page.locator('#travel h2').boundingBox())!;
  await page.evaluate(() => document.querySelector('#travel')!.scrollIntoView());
  await expect
    .poll(async () => (await page.locator('#travel h2').boundingBox())!.y)
    .toBeGreaterThanOrEqual(box.height - 1);
  expect(head.height).toBeGreaterThan(0);
  await noBarriers(page);
  // A finger across turns it, up or down scrolls the page.
  const touch = await page.context().newCDPSession(page);
  const swipe = async (from: [number, number], to: [number, number]) => {
    const send = (type: 'touchStart' | 'touchMove' | 'touchEnd', at?: [number, number]) =>
      touch.send('Input.dispatchTouchEvent', {
        type,
        touchPoints: at ? [{ x: at[0], y: at[1] }] : [],
      });
    await send('touchStart', from);
    for (let i = 1; i <= 10; ++i)
      await send('touchMove', [
        from[0] + ((to[0] - from[0]) * i) / 10,
        from[1] + ((to[1] - from[1]) * i) / 10,
      ]);
    await send('touchEnd');
  };
  const scrolled = () => page.evaluate(() => window.scrollY);
  const label = () => drawing(page).getAttribute('aria-label');
  const [view, at] = [await label(), await scrolled()];
  await swipe([80, 90], [330, 92]);
  await expect.poll(label).not.toBe(view);
  expect(Math.abs((await scrolled()) - at)).toBeLessThan(3);
  const turned = await label();
  await swipe([100, 150], [102, 20]);
  await expect.poll(scrolled).toBeGreaterThan(at + 50);
  expect(await label()).toBe(turned);
  await rests(page);
  const place = (await page.locator('#travel h2').boundingBox())!.y;
  await page.getByRole('button', { name: 'Fold away' }).click();
  await expect(page.locator('.stage.strip')).toHaveCount(0);
  expect(Math.abs((await page.locator('#travel h2').boundingBox())!.y - place)).toBeLessThan(2);
});

// A phone has it above the sheet.
test('beside the sheet it leaves the sheet where it is @once', async ({ page }) => {
  await openTock(page);
  await drawn(page);
  const main = (await page.locator('#sheet').boundingBox())!;
  const aside = (await car(page).boundingBox())!;
  expect(aside.x).toBeGreaterThanOrEqual(main.x + main.width);
  await page.locator('#correct').evaluate((e) => e.scrollIntoView({ behavior: 'instant' }));
  await expect(drawing(page)).toBeInViewport();
  const place = (await page.locator('#correct h2').boundingBox())!.y;
  await slider(page, /^Wheel travel/).fill('40');
  await pickFromTable(page, "front left ball joint of arm 'lower'");
  expect(Math.abs((await page.locator('#correct h2').boundingBox())!.y - place)).toBeLessThan(2);
  // An edit shows in it.
  const before = await still(page);
  await change(page, 'state.as_built', 'front.height', '3 in');
  await settled(page);
  await car(page)
    .getByRole('checkbox', { name: /As it stood before/ })
    .check();
  await changedFrom(page, before);
});
