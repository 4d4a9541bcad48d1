// The sheet, opened from the disk.
import {
  begin,
  beginTock,
  begun,
  bench,
  change,
  expect,
  fileText,
  fits,
  heavy,
  kept,
  noBarriers,
  open,
  openTock,
  pageUrl,
  rests,
  settled,
  shelve,
  test,
  unfold,
  verdict,
} from './opened';
import { pip, tock, tockInDoubt, tockOfTwoAxles } from './texts';

test('the demo opens solved, fits the screen, and has no barriers; a curve is read by pointer, by keys and as a table', async ({
  page,
}) => {
  await open(page);
  await expect(page.getByText('A demo: this car is invented.')).toBeVisible();
  for (const name of ['Measure', 'Travel', 'Correct', 'Work'])
    await expect(page.locator(`#${name.toLowerCase()} .answer`)).not.toBeEmpty();
  await expect(page.locator('#correct .answer')).toContainText('chances in 10');
  await expect(page.locator('#align .answer')).toContainText('4 things to turn');
  await expect(page.locator('#make .answer')).toContainText('parts to make for each side');
  await expect(page.locator('#prove .answer')).toContainText('Front left: passed.');
  for (const [name, plots] of [
    ['travel', 10],
    ['correct', 4],
    ['settle', 2],
  ] as const)
    await expect(page.locator(`#${name} figure.plot svg`)).toHaveCount(plots);
  // What can hurt somebody stands open, the working being closed.
  await expect(page.locator('#correct .care').last()).toBeVisible();
  await expect(page.locator('#correct')).toContainText('never fit one without the other');
  await expect(page.locator('#measure-next .care').first()).toBeVisible();
  await fits(page);
  await noBarriers(page);
  // A curve read.
  const plot = page.locator('#travel figure.plot').first();
  await plot.scrollIntoViewIfNeeded();
  const slider = plot.getByRole('slider');
  await slider.focus();
  await page.keyboard.press('ArrowRight');
  const heard = await slider.getAttribute('aria-valuetext');
  expect(heard).toContain('as corrected');
  expect(await plot.locator('.reading').innerText()).toBe(heard);
  await plot.locator('.area').hover({ position: { x: 60, y: 60 } });
  await expect(plot.locator('.reading')).not.toHaveText(heard!);
  await plot.getByText('Its values as a table').click();
  await expect(plot.locator('table tbody tr')).toHaveCount(41);
  // With every working and every value open as well.
  await page.evaluate(() =>
    document.querySelectorAll('details').forEach((d) => ((d as HTMLDetailsElement).open = true)),
  );
  await fits(page);
  await noBarriers(page);
});

test('an edit gives a new curve, and marks what it changed @once', async ({ page }) => {
  await openTock(page);
  const before = await page.locator('#travel figure.plot svg').first().innerHTML();
  const answer = await page.locator('#travel .answer').innerText();
  await change(page, 'state.as_built', 'front.height', '2 in');
  await settled(page);
  expect(await page.locator('#travel figure.plot svg').first().innerHTML()).not.toBe(before);
  await expect(page.locator('section.changed').first()).toBeVisible();
  await expect(page.getByText('It said:').first()).toBeVisible();
  await page.getByRole('button', { name: 'Undo' }).click();
  await settled(page);
  expect(await page.locator('#travel figure.plot svg').first().innerHTML()).toBe(before);
  expect(await page.locator('#travel .answer').innerText()).toBe(answer);
  await page.getByRole('button', { name: 'Redo' }).click();
  await expect.poll(() => fileText(page)).toContain('"2 in"');
});

test('a value of the wrong kind is refused where it stands @once', async ({ page }) => {
  await beginTock(page);
  const text = await fileText(page);
  const field = await change(page, 'front.wheel', 'toe', '3 kg');
  await expect(page.getByRole('alert')).toContainText('toe');
  await expect(field).toHaveAttribute('aria-invalid', 'true');
  await noBarriers(page);
  expect(await fileText(page)).toBe(text);
  // What the core answers later about the same file leaves it standing.
  await settled(page);
  await expect(page.getByRole('alert')).toContainText('toe');
  await field.press('Escape');
  await expect(page.getByRole('alert')).toHaveCount(0);
});

test('a spacer is picked: chance, curve and sentence follow, and it stands in the file @once', async ({
  page,
}) => {
  await openTock(page, tockInDoubt);
  const said = await verdict(page, 'Front').innerText();
  const line = await heavy(page, 'Front');
  await bench(page, 'Front').getByLabel('ball-joint spacer', { exact: true }).selectOption('10 mm');
  await expect(verdict(page, 'Front')).toContainText('10 mm ball-joint spacer');
  await expect.poll(() => heavy(page, 'Front')).not.toBe(line);
  await expect(bench(page, 'Front').getByText('chosen by you')).toBeVisible();
  await settled(page);
  await expect(page.locator('#correct .answer')).toContainText('Front, as chosen: 10 mm');
  await expect(page.locator('#parts')).toContainText('10 mm ball-joint spacer');
  expect(await fileText(page)).toContain('[front.chosen]');
  await noBarriers(page);
  // Without its rod a corrected joint gets the stop sign.
  await bench(page, 'Front').getByLabel('rod-end stack', { exact: true }).selectOption('0 mm');
  await expect(verdict(page, 'Front')).toContainText('Stop');
  await bench(page, 'Front').getByRole('button', { name: 'Take the best found instead' }).click();
  await settled(page);
  expect(await verdict(page, 'Front').innerText()).toBe(said);
  expect(await fileText(page)).not.toContain('[front.chosen]');
});

test('the hole is dragged and nudged, and what follows is about that hole @once', async ({
  page,
}) => {
  await openTock(page, tockOfTwoAxles);
  const area = bench(page, 'Rear').locator('.hole-map .area');
  await area.scrollIntoViewIfNeeded();
  const box = (await area.boundingBox())!;
  const mark = () => area.locator('g.hole').getAttribute('transform');
  const z = bench(page, 'Rear').getByLabel(/^z in mm/);
  const before = { mark: await mark(), line: await heavy(page, 'Rear'), z: await z.inputValue() };
  await page.mouse.move(box.x + box.width * 0.35, box.y + box.height * 0.4);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.33, box.y + box.height * 0.55, { steps: 8 });
  await expect.poll(mark).not.toBe(before.mark);
  await expect.poll(() => heavy(page, 'Rear')).not.toBe(before.line);
  await page.mouse.up();
  await expect(bench(page, 'Rear').getByText('chosen by you')).toBeVisible();
  const dragged = Number(await z.inputValue());
  expect(dragged).not.toBe(Number(before.z));
  await settled(page);
  await bench(page, 'Rear')
    .getByRole('button', { name: 'toe-link bracket z more by half a millimetre' })
    .click();
  await expect(z).toHaveValue(String(Math.round((dragged + 0.5) * 100) / 100));
  await expect.poll(() => fileText(page)).toContain('[rear.chosen]');
  // The end of the range is as far as it goes.
  await z.fill('-40');
  await z.press('Enter');
  await expect(z).toHaveValue('-40');
  await settled(page);
  await expect(z).toHaveValue('-40');
  for (const nonsense of ['-99', 'abc', '', '3,5']) {
    await z.fill(nonsense);
    await z.press('Enter');
    await expect(bench(page, 'Rear').getByRole('alert')).toContainText(nonsense || 'no number');
    await expect(z).toHaveValue('-40');
  }
});

test('a finger moves the hole on its range, and scrolls beside it @phone', async ({ page }) => {
  await openTock(page, tockOfTwoAxles);
  const area = bench(page, 'Rear').locator('.hole-map .area');
  await area.evaluate((e) => e.scrollIntoView({ behavior: 'instant', block: 'center' }));
  const box = (await area.boundingBox())!;
  const touch = await page.context().newCDPSession(page);
  const swipe = async (x: number, from: number, to: number) => {
    const send = (type: 'touchStart' | 'touchMove' | 'touchEnd', y?: number) =>
      touch.send('Input.dispatchTouchEvent', {
        type,
        touchPoints: y === undefined ? [] : [{ x, y }],
      });
    await send('touchStart', from);
    for (let i = 1; i <= 10; ++i) await send('touchMove', from + ((to - from) * i) / 10);
    await send('touchEnd');
  };
  const grab = (await area.locator('.grab').boundingBox())!;
  const z = bench(page, 'Rear').getByLabel(/^z in mm/);
  const before = await z.inputValue();
  const scrolled = () => page.evaluate(() => window.scrollY);
  const at = await scrolled();
  // Beside the range: the page scrolls, the hole stays.
  await swipe(box.x + box.width * 0.9, box.y + box.height * 0.7, box.y + box.height * 0.2);
  await expect.poll(scrolled).toBeGreaterThan(at + 20);
  expect(await z.inputValue()).toBe(before);
  await rests(page);
  await area.evaluate((e) => e.scrollIntoView({ behavior: 'instant', block: 'center' }));
  const now = (await area.locator('.grab').boundingBox())!;
  await swipe(now.x + now.width / 2, now.y + grab.height * 0.3, now.y + grab.height * 0.6);
  await expect(bench(page, 'Rear').getByText('chosen by you')).toBeVisible();
  expect(await z.inputValue()).not.toBe(before);
  await settled(page);
  expect(Math.abs((await area.locator('.grab').boundingBox())!.y - now.y)).toBeLessThan(2);
  await noBarriers(page); // with a set chosen
});

test('where the store is forbidden the page says so @once', async ({ page }) => {
  await page.addInitScript(() => {
    Object.defineProperty(IDBFactory.prototype, 'open', {
      value: () => {
        throw new DOMException('no store here', 'SecurityError');
      },
    });
  });
  await page.goto(pageUrl);
  await expect(page.getByRole('alert')).toContainText('store cannot be used');
  await noBarriers(page);
});

test('quick clicks are all counted, and the buttons stay under the hand', async ({ page }) => {
  await openTock(page);
  const less = bench(page, 'Front').getByRole('button', { name: 'less rod-end stack' });
  const stack = bench(page, 'Front').getByLabel('rod-end stack', { exact: true });
  await less.scrollIntoViewIfNeeded();
  const begun = Number(await stack.inputValue());
  const before = (await less.boundingBox())!;
  for (let i = 0; i < 8; ++i) {
    await page.mouse.click(before.x + before.width / 2, before.y + before.height / 2);
    await page.waitForTimeout(40 * i);
  }
  await expect(stack).toHaveValue(String(begun - 8));
  await settled(page);
  await expect(stack).toHaveValue(String(begun - 8));
  expect(Math.abs((await less.boundingBox())!.y - before.y)).toBeLessThan(2);
});

test('a tick stays with its step when another size is picked @once', async ({ page }) => {
  await openTock(page);
  const tick = () =>
    page
      .locator('#work')
      .getByLabel(/front, both sides: ball-joint spacer fitted/)
      .first();
  await tick().check();
  await settled(page);
  await bench(page, 'Front').getByLabel('ball-joint spacer', { exact: true }).selectOption('20 mm');
  await settled(page);
  await expect(page.locator('#work')).toContainText('ball-joint spacer fitted (20 mm)');
  await expect(tick()).toBeChecked();
  await page.reload();
  await expect(tick()).toBeChecked();
  await tick().uncheck();
  await settled(page);
  await expect(tick()).not.toBeChecked();
  await expect(page.locator('#work')).not.toContainText('Your own steps');
});

test('what is typed into the text stays while the car changes, and no text file is not opened @once', async ({
  page,
}) => {
  await openTock(page);
  const text = await fileText(page);
  await page.getByLabel('The car file').fill(`${text}# mine`);
  await bench(page, 'Front').getByRole('button', { name: 'less rod-end stack' }).click();
  await settled(page);
  await expect(page.getByLabel('The car file')).toHaveValue(`${text}# mine`);
  await expect(page.getByRole('alert')).toContainText('has changed since you began');
  await page.getByRole('button', { name: 'Leave it as it was' }).click();
  await expect(page.getByLabel('The car file')).toHaveValue(/front\.chosen/);
  for (const [buffer, why] of [
    [Buffer.from([0x89, 0x50, 0, 1]), 'no text file'],
    [Buffer.from('name = "Br\xe4ck"', 'latin1'), 'not UTF-8'],
    [Buffer.alloc(0), 'empty'],
  ] as const) {
    await page
      .getByLabel('Open a file')
      .setInputFiles({ name: 'x.toml', mimeType: 'text/plain', buffer });
    await expect(page.getByRole('alert')).toContainText(why);
  }
  await expect(page.locator('h1')).toContainText('Tock');
});

test('what was chosen is there after a reload, offline too @once', async ({ page, context }) => {
  await openTock(page);
  await bench(page, 'Front').getByRole('button', { name: 'less rod-end stack' }).click();
  await kept(page, '[front.chosen]');
  const text = await fileText(page);
  await context.setOffline(true);
  await page.reload();
  await begun(page);
  expect(await fileText(page)).toBe(text);
  await change(page, 'front.wheel', 'toe', '0.1');
  await kept(page, 'toe = 0.1');
});

test('a broken file opens to its messages with the text in hand', async ({ page }) => {
  await beginTock(page, tockInDoubt);
  const good = await fileText(page);
  await page.getByLabel('Open a file').setInputFiles({
    name: 'mine.toml',
    mimeType: 'text/plain',
    buffer: Buffer.from('trammel = 1\n[front.wheel]\ncentre = [0, 700\ntoe = 1\n'),
  });
  await expect(page.getByRole('heading', { name: 'What is wrong with the file?' })).toBeVisible();
  await expect(page.locator('.faults')).toContainText('Line');
  await noBarriers(page);
  await fits(page);
  await page.getByRole('button', { name: /^Go to line/ }).click();
  await expect(page.getByLabel('The car file')).toBeFocused();
  await page.getByLabel('The car file').fill(good);
  await page.getByRole('button', { name: 'Use this text' }).click();
  await settled(page);
  await expect(page.locator('#correct .answer')).toContainText('chances');
});

test('two tabs follow each other, and neither writes over the other @once', async ({
  page,
  context,
}) => {
  await beginTock(page);
  await change(page, 'front.wheel', 'toe', '0.11');
  await kept(page, 'toe = 0.11');
  const other = await context.newPage();
  await begin(other);
  expect(await fileText(other)).toContain('toe = 0.11');
  await change(other, 'front.wheel', 'toe', '0.12');
  await kept(other, 'toe = 0.12');
  // The first one sees it by itself.
  await expect.poll(() => fileText(page)).toContain('toe = 0.12');
  // Both at once, the first one not having looked yet: the later one is asked.
  await page.evaluate(() => {
    for (let timer = 1; timer < 100_000; ++timer) clearInterval(timer);
  });
  await change(other, 'front.wheel', 'toe', '0.13');
  await kept(other, 'toe = 0.13');
  await change(page, 'front.wheel', 'camber', '-1.2');
  await expect(page.getByRole('alert')).toContainText('toe = 0.13');
  await noBarriers(page);
  await page.getByRole('button', { name: 'Keep yours' }).click();
  await expect(page.locator('.keeping')).toHaveText('kept');
  expect(await fileText(page)).toContain('toe = 0.12');
  await page.getByRole('button', { name: 'Undo' }).click();
  expect(await fileText(page)).toContain('toe = 0.13');
});

test('versions are kept by name and come back @once', async ({ page }) => {
  await beginTock(page);
  await page.getByRole('button', { name: 'Versions and cars' }).click();
  await page.getByLabel('Name', { exact: true }).fill('before the bracket');
  await page.getByRole('button', { name: 'Keep the car as it is now' }).click();
  await expect(page.locator('.versions')).toContainText('before the bracket');
  const text = await fileText(page);
  await change(page, 'front.wheel', 'toe', '0.2');
  await settled(page);
  await noBarriers(page);
  await page.getByRole('button', { name: /Go back to it ?: before/ }).click();
  await expect.poll(() => fileText(page)).toBe(text);
  await page.reload();
  await page.getByRole('button', { name: 'Versions and cars' }).click();
  await expect(page.locator('.versions')).toContainText('before the bracket');
  // Another demo car, and back.
  await page.getByRole('button', { name: /Open ?nibbet-survey.toml/ }).click();
  await settled(page);
  await expect(page.locator('h1')).not.toContainText('Tock');
});

test('a step is ticked and a part ordered, in the file too @once', async ({ page }) => {
  await openTock(page);
  const box = page.locator('#work').getByRole('checkbox').first();
  await box.check();
  await kept(page, 'done = true');
  await settled(page);
  await expect(box).toBeChecked();
  await page.locator('#parts select').first().selectOption('ordered');
  await expect.poll(() => fileText(page)).toContain('state = "ordered"');
  const text = await fileText(page);
  expect(text).toContain('done = true');
  expect(text).toContain(tock.trimEnd());
  // A torque in a unit that is none is refused where it stands.
  const notes = page.locator('#work .notes').first();
  await notes.locator('summary').click();
  const torque = notes.getByLabel('torque, from your manual');
  await torque.fill('45 lb·ft');
  await torque.press('Enter');
  await settled(page);
  await expect(torque).toHaveValue('45 lb·ft');
  await torque.fill('lots');
  await torque.press('Enter');
  await expect(notes.getByRole('alert')).toContainText('lots');
  await expect(torque).toHaveValue('45 lb·ft');
});

test('the ranking shows its progress and can be stopped @once', async ({ page }) => {
  await shelve(page, 'pip.toml', pip); // long enough for a hand to stop it
  await page.goto(pageUrl);
  await page.getByRole('button', { name: 'Stop', exact: true }).click();
  await expect(page.locator('#correct')).toContainText('Not worked out');
  await noBarriers(page);
  await page.getByRole('button', { name: 'Work it out after all' }).click();
  await settled(page);
  // Stopped after an edit, what stands is said to be of the car before.
  await change(page, 'front.target', 'toe_change', '0.2');
  await page.getByRole('button', { name: 'Stop', exact: true }).dispatchEvent('click'); // at once: it goes away with the ranking
  await expect(page.locator('#correct')).toContainText('of the car before the last change');
  await expect(page.getByRole('navigation', { name: 'Contents' })).toContainText('stopped');
  await page.getByRole('button', { name: 'Work it out after all' }).click();
  await settled(page);
  await expect(page.locator('#correct')).not.toContainText('of the car before');
  await expect(page.locator('#correct .answer')).toContainText('chances');
});

test('a core that dies is told and started anew, and nothing is lost @once', async ({ page }) => {
  // Workers die when the test says so.
  await page.addInitScript(() => {
    const all: Worker[] = [];
    const Real = window.Worker;
    window.Worker = class extends Real {
      constructor(url: string | URL, options?: WorkerOptions) {
        super(url, options);
        all.push(this);
      }
    };
    Object.assign(window, {
      killWorkers: () =>
        all.forEach((w) => w.dispatchEvent(new ErrorEvent('error', { message: 'out of memory' }))),
    });
  });
  await beginTock(page);
  const values = page.locator('details.values');
  await unfold(values);
  await unfold(
    values
      .locator('details.group')
      .filter({ has: page.locator('summary', { hasText: /^front\.wheel$/ }) }),
  );
  const field = values.getByLabel('front.wheel toe', { exact: true });
  await field.fill('0.21');
  await page.evaluate(() => {
    const input = document.querySelector('input[aria-label="front.wheel toe"]');
    input?.dispatchEvent(new Event('change', { bubbles: true }));
    // Once the question has been put, and before it can be answered.
    setTimeout((window as unknown as { killWorkers: () => void }).killWorkers);
  });
  await expect(page.getByRole('alert')).toContainText('started anew');
  await noBarriers(page);
  await page.getByRole('button', { name: 'Close' }).click();
  await change(page, 'front.wheel', 'toe', '0.22');
  await expect.poll(() => fileText(page)).toContain('toe = 0.22');
  await settled(page);
});

test('inches are shown where they are wanted, in the drawing too @once', async ({ page }) => {
  await beginTock(page);
  await page.getByLabel('Units').selectOption('inch');
  await settled(page);
  await expect(page.locator('#travel figure.plot svg').first()).toContainText('(in)');
  const car = page.getByRole('complementary', { name: 'The car, drawn' });
  const travel = car.getByRole('slider', { name: /^Wheel travel/ });
  await expect(car.locator('.says')).toContainText(/roll centre -?[0-9.]+.in/);
  await travel.fill('25');
  await expect(travel).toHaveAttribute('aria-valuetext', /\+0\.984.in/);
  await page.reload();
  await begun(page);
  await expect(page.getByLabel('Units')).toHaveValue('inch');
});

test('by keyboard alone: skip to the sheet, change a value, undo it @once', async ({ page }) => {
  await openTock(page);
  await page.keyboard.press('Tab');
  await expect(page.getByRole('link', { name: 'To the sheet' })).toBeFocused();
  await page.keyboard.press('Enter');
  const reach = async (what: string) => {
    for (let i = 0; i < 80; ++i) {
      await page.keyboard.press('Tab');
      const here = await page.evaluate(() => {
        const e = document.activeElement;
        return `${e?.getAttribute('aria-label') ?? ''} ${e?.textContent?.trim() ?? ''}`;
      });
      if (here.includes(what)) return;
    }
    throw new Error(`no way to ${what} by Tab`);
  };
  await reach('Every value of the file');
  await page.keyboard.press('Enter');
  await expect(page.locator('details.group').first()).toBeVisible();
  await reach('front.wheel');
  await page.keyboard.press('Enter');
  await expect(page.getByLabel('front.wheel camber', { exact: true })).toBeVisible();
  await reach('front.wheel camber');
  await page.keyboard.press('Control+a');
  await page.keyboard.type('-1.5');
  await page.keyboard.press('Enter');
  await expect.poll(() => fileText(page)).toContain('camber = -1.5');
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
  await page.keyboard.press('Control+z');
  await expect.poll(() => fileText(page)).toBe(tock);
});

test('twice as large, without colours of its own, and without motion', async ({ page }) => {
  const size = page.viewportSize()!;
  // What a browser does at 200 %: half as many pixels for the same text, and no fewer than the 320
  // that WCAG 2.2 (1.4.10) asks for.
  await page.setViewportSize({
    width: Math.max(320, Math.floor(size.width / 2)),
    height: size.height,
  });
  await page.emulateMedia({ forcedColors: 'active', reducedMotion: 'reduce' });
  await open(page);
  await fits(page);
  const moving = await page.evaluate(
    () => getComputedStyle(document.documentElement).scrollBehavior,
  );
  expect(moving).toBe('auto');
  await expect(page.locator('#correct .answer')).toBeVisible();
});
