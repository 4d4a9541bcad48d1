// `trammel page --phone`: the page over the network, here another address of the same machine. What
// a browser lets a page do over plain http from elsewhere is tried by an address that is none here.
import type { BrowserContext, Page } from '@playwright/test';
import { copyFileSync, readFileSync, writeFileSync } from 'node:fs';
import {
  begin,
  begun,
  change,
  ended,
  expect,
  fileText,
  fits,
  noBarriers,
  open,
  pageFile,
  serve,
  settled,
  shelve,
  test,
} from './opened';
import { tockFile } from './texts';

async function started(car: string) {
  copyFileSync(tockFile, car);
  const { child, url: link } = await serve(
    [car, '--phone', '--address', '127.0.0.2'],
    /http:\/\/127\.0\.0\.2:\d+\/open\/\w+/,
  );
  return { child, link, home: `${new URL(link).origin}/`, text: () => readFileSync(car, 'utf8') };
}

// With its link opened on `page`.
async function opened(page: Page, car: string) {
  const program = await started(car);
  await page.goto(program.link);
  await page.getByRole('button', { name: 'Open it on this phone' }).click();
  await begun(page);
  return program;
}

const kept = (page: Page) => expect(page.locator('.keeping')).toHaveText('kept');
const away = (page: Page) =>
  expect(page.getByRole('alert')).toContainText('the text stays in this browser');

// The page gone and come again, as a phone does with one that it needs the room of.
async function reopened(page: Page, context: BrowserContext, home: string) {
  await page.close();
  await context.setOffline(false);
  const next = await context.newPage();
  await begin(next, home);
  return next;
}

test('a phone opens the page by the link, edits the file, and no second one does @phone', async ({
  page,
  browser,
}, info) => {
  const { child, link, home, text } = await started(info.outputPath('my car.toml'));
  try {
    await page.goto(link);
    await expect(page.getByRole('button')).toHaveText('Open it on this phone');
    await fits(page);
    await noBarriers(page);
    await page.getByRole('button').click();
    await settled(page);
    expect(page.url()).toBe(home); // without the token
    await expect(page.locator('.title')).toContainText('my car.toml');
    await change(page, 'front.wheel', 'toe', '0.07');
    await expect.poll(text).toContain('toe = 0.07');

    const other = await browser.newContext();
    const second = await other.newPage();
    await second.goto(link);
    await expect(second.locator('body')).toContainText('another phone has already opened this');
    await second.goto(new URL('/car', link).href);
    await expect(second.locator('body')).toHaveText(
      'only the phone that opened the page may ask this',
    );
    await other.close();

    await page.reload();
    await begun(page);
    expect(await fileText(page)).toContain('toe = 0.07');
    await page.goto(link); // scanned again
    await begun(page);
    expect(page.url()).toBe(home);
  } finally {
    await ended(child);
  }
});

test('without the network an edit waits, and is sent once it is back or the page is opened again @phone', async ({
  page,
  context,
}, info) => {
  const { child, home, text } = await opened(page, info.outputPath('car.toml'));
  try {
    await context.setOffline(true);
    await change(page, 'front.wheel', 'toe', '0.07');
    await away(page);
    await change(page, 'front.wheel', 'toe', '0.08');
    await settled(page);
    await expect(page.locator('.keeping')).toHaveText('not kept');
    expect(text()).not.toMatch(/toe = 0\.0[78]/);
    await context.setOffline(false);
    await kept(page);
    await expect(page.getByRole('alert')).toHaveCount(0);
    expect(text()).toContain('toe = 0.08');
    // Closed without the network, it has its edit when it is opened again.
    await context.setOffline(true);
    await change(page, 'front.wheel', 'toe', '0.09');
    await away(page);
    const next = await reopened(page, context, home);
    await kept(next);
    expect(text()).toContain('toe = 0.09');
    expect(await fileText(next)).toContain('toe = 0.09');
    await next.reload(); // it is sent once
    await begun(next);
    await expect(next.getByRole('button', { name: 'Undo' })).toHaveAttribute(
      'aria-disabled',
      'true',
    );
  } finally {
    await ended(child);
  }
});

test('what the laptop wrote meanwhile is asked about and never written over @phone', async ({
  page,
  context,
}, info) => {
  const car = info.outputPath('car.toml');
  const { child, home, text } = await opened(page, car);
  try {
    await context.setOffline(true);
    await change(page, 'front.wheel', 'toe', '0.07');
    await away(page);
    writeFileSync(car, text().replace('toe_change = 0.15', 'toe_change = 0.16'));
    // On the same page.
    await context.setOffline(false);
    await expect(page.getByRole('alert')).toContainText('toe_change = 0.16');
    await expect(page.getByRole('alert')).toContainText('toe = 0.07');
    expect(text()).toContain('toe_change = 0.16');
    // And on one that is opened later.
    const next = await reopened(page, context, home);
    await expect(next.getByRole('alert')).toContainText('toe_change = 0.16');
    expect(text()).not.toContain('toe = 0.07');
    await next.getByRole('button', { name: 'Take theirs' }).click();
    await settled(next);
    expect(text()).toContain('toe_change = 0.16');
    await next.reload(); // settled once and for all
    await begun(next);
    await expect(next.getByRole('alert')).toHaveCount(0);
    expect(await fileText(next)).toContain('toe_change = 0.16');
  } finally {
    await ended(child);
  }
});

// Over plain http from another machine a browser takes some of its parts away from a page.
test('the page asks for nothing that plain http does not have @once', async ({ browser }) => {
  const context = await browser.newContext();
  const page = await context.newPage();
  await page.route('http://10.0.0.1/**', (route) =>
    new URL(route.request().url()).pathname === '/'
      ? route.fulfill({ path: pageFile, contentType: 'text/html; charset=utf-8' })
      : route.fulfill({ status: 404 }),
  );
  await shelve(page);
  await open(page, 'http://10.0.0.1/');
  expect(await page.evaluate(() => window.isSecureContext)).toBe(false);
  await change(page, 'front.wheel', 'toe', '0.07');
  await expect.poll(() => fileText(page)).toContain('toe = 0.07');
  await kept(page);
  const [copy] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Save a copy' }).click(),
  ]);
  expect(readFileSync(await copy.path(), 'utf8')).toContain('toe = 0.07');
  await page.reload();
  await begun(page);
  expect(await fileText(page)).toContain('toe = 0.07');
  await context.close();
});
