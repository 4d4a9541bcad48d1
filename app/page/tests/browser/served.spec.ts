// The page as the program serves it, the car file beside it on the disk.
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import {
  begin,
  begun,
  bench,
  change,
  ended,
  expect,
  fileText,
  kept,
  open,
  serve,
  settled,
  shelve,
  test,
} from './opened';
import { tock, tockFile } from './texts';

test('an edit lands in the file, and a change of the file on the page @once', async ({
  page,
}, info) => {
  const car = info.outputPath('my car.toml');
  copyFileSync(tockFile, car);
  const { child, url } = await serve([car]);
  try {
    await open(page, url);
    await expect(page.locator('.title')).toContainText('my car.toml');
    await change(page, 'front.wheel', 'toe', '0.07');
    await expect.poll(() => readFileSync(car, 'utf8')).toContain('toe = 0.07');
    await bench(page, 'Front').getByRole('button', { name: 'less rod-end stack' }).click();
    await expect.poll(() => readFileSync(car, 'utf8')).toContain('[front.chosen]');
    // Another editor: the page takes it over, and undo has what was.
    const theirs = readFileSync(car, 'utf8').replace('toe = 0.07', 'toe = 0.09');
    writeFileSync(car, theirs);
    await expect.poll(() => fileText(page)).toContain('toe = 0.09');
    await settled(page);
    // A broken file on the disk is told, with the text in hand.
    writeFileSync(car, theirs.replace('trammel = 1', 'trammel = '));
    await expect(page.getByRole('heading', { name: 'What is wrong with the file?' })).toBeVisible();
    writeFileSync(car, theirs);
    await settled(page);
  } finally {
    child.kill('SIGTERM');
  }
});

test('what another editor wrote a moment ago is never written over @once', async ({
  page,
}, info) => {
  const car = info.outputPath('car.toml');
  copyFileSync(tockFile, car);
  const { child, url } = await serve([car]);
  try {
    await begin(page, url);
    // The file changes between the page's last look and its edit.
    await page.route('**/car', async (route) => {
      if (route.request().method() === 'PUT')
        writeFileSync(
          car,
          readFileSync(car, 'utf8').replace('toe_change = 0.15', 'toe_change = 0.16'),
        );
      await route.continue();
    });
    await change(page, 'front.wheel', 'toe', '0.08');
    await expect(page.getByRole('alert')).toContainText('toe_change = 0.16');
    expect(readFileSync(car, 'utf8')).toContain('toe_change = 0.16');
    expect(readFileSync(car, 'utf8')).not.toContain('toe = 0.08');
    await page.unroute('**/car');
    await page.getByRole('button', { name: 'Take theirs' }).click();
    await settled(page);
    expect(await fileText(page)).toContain('toe_change = 0.16');
    await page.getByRole('button', { name: 'Undo' }).click();
    await expect.poll(() => readFileSync(car, 'utf8')).toContain('toe = 0.08');
  } finally {
    child.kill('SIGTERM');
  }
});

test('a program that has ended is told, and has the text once it is there again @once', async ({
  page,
}, info) => {
  const car = info.outputPath('car.toml');
  copyFileSync(tockFile, car);
  const { child, url } = await serve([car]);
  await begin(page, url);
  await ended(child);
  await change(page, 'front.wheel', 'toe', '0.08');
  await expect(page.getByRole('alert')).toContainText(
    'the program that serves this page cannot be reached',
  );
  expect(await fileText(page)).toContain('toe = 0.08');
  const again = await serve([car, '--port', new URL(url).port]);
  try {
    await expect(page.locator('.keeping')).toHaveText('kept');
    await expect(page.getByRole('alert')).toHaveCount(0);
    expect(readFileSync(car, 'utf8')).toContain('toe = 0.08');
  } finally {
    await ended(again.child);
  }
});

test('without a car the page has its own store, and the program serves the file it was built with @once', async ({
  page,
}) => {
  const { child, url } = await serve([]);
  try {
    await begin(page, url);
    await expect(page.getByText('A demo: this car is invented.')).toBeVisible();
    await change(page, 'front.wheel', 'toe', '0.07');
    await expect(page.locator('.keeping')).toHaveText('kept');
    await page.reload();
    await begun(page);
    expect(await fileText(page)).toContain('toe = 0.07');
  } finally {
    child.kill('SIGTERM');
  }
});

test('a car that an earlier page kept in this browser is still there @once', async ({
  browser,
}) => {
  const { child, url } = await serve([]);
  const context = await browser.newContext();
  try {
    const page = await context.newPage();
    // The store as it was before unsent texts were held in it.
    await shelve(page, 'old.toml', tock, 1);
    await begin(page, url);
    await expect(page.locator('.title')).toContainText('old.toml');
    await change(page, 'front.wheel', 'toe', '0.07');
    await kept(page, 'toe = 0.07');
  } finally {
    await context.close();
    await ended(child);
  }
});
