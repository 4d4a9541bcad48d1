// What every test of the page begins with, and the checks that hold in any state of it.
import { AxeBuilder } from '@axe-core/playwright';
import {
  expect,
  test as plain,
  type BrowserContext,
  type Locator,
  type Page,
} from '@playwright/test';
import { spawn, type ChildProcess } from 'node:child_process';
import { pathToFileURL } from 'node:url';
import { root, tock } from './texts';

export const pageFile = process.env.TRAMMEL_PAGE_FILE ?? `${root}/build/page/trammel.html`;
export const program = process.env.TRAMMEL_PROGRAM ?? `${root}/build/dev/trammel`;
export const pageUrl = pathToFileURL(pageFile).href;

// Fails a test whose page asks anybody for anything, or throws.
export const test = plain.extend<{ quiet: void }>({
  quiet: [
    async ({ context }, use) => {
      const bad: string[] = [];
      watch(context, bad);
      await use();
      expect(bad).toEqual([]);
    },
    { auto: true },
  ],
});
export { expect };

function watch(context: BrowserContext, bad: string[]) {
  context.on('request', (request) => {
    const url = request.url();
    const own = url.startsWith(pageUrl) || url.startsWith('data:') || url.startsWith('blob:');
    const served = /^http:\/\/127\.0\.0\.[12]:\d+\/(car|open\/\w+)?$/.test(url);
    if (!own && !served) bad.push(`asked for ${url}`);
  });
  context.on('weberror', (error) => bad.push(String(error.error())));
}

// Everything is worked out: no section says that it is working.
export async function settled(page: Page) {
  await expect(page.locator('figure.plot').first()).toBeVisible();
  await expect(page.getByText('working …')).toHaveCount(0);
  await expect(page.getByRole('navigation', { name: 'Contents' }).getByText('waits')).toHaveCount(
    0,
  );
}

export async function open(page: Page, url = pageUrl) {
  await page.goto(url);
  await settled(page);
}

// The first curves stand and the ranking runs on: for what has nothing to do with the ranking, which
// takes most of the time that it takes to open the page.
export async function begun(page: Page) {
  await expect(page.locator('figure.plot').first()).toBeVisible();
}
export async function begin(page: Page, url = pageUrl) {
  await page.goto(url);
  await begun(page);
}

// A car in the browser's own store, the one that was open last; `layout`: of the store. The page that
// is opened next begins with it, and only that one: what it does to the store afterwards stays.
export async function shelve(page: Page, name = 'tock.toml', text = tock, layout = 2) {
  await page.addInitScript(
    ([name, text, layout]) => {
      const opening = indexedDB.open('trammel', layout);
      opening.onupgradeneeded = ({ oldVersion }) => {
        if (oldVersion > 0) return;
        const db = opening.result;
        const car = { id: 'file shelved', name, text, revision: 1, saved: 1 };
        db.createObjectStore('cars', { keyPath: 'id' }).put(car);
        const versions = { keyPath: 'id', autoIncrement: true };
        db.createObjectStore('versions', versions).createIndex('car', 'car');
        db.createObjectStore('settings').put({ car: 'file shelved' }, 'page');
        if (layout > 1) db.createObjectStore('unsent', { keyPath: 'id' });
      };
      opening.onsuccess = () => opening.result.close();
    },
    [name, text, layout] as const,
  );
}

// The page with that car.
export async function openTock(page: Page, text = tock) {
  await shelve(page, 'tock.toml', text);
  await open(page);
  await expect(page.locator('.title')).toContainText('tock.toml');
}
export async function beginTock(page: Page, text = tock) {
  await shelve(page, 'tock.toml', text);
  await begin(page);
  await expect(page.locator('.title')).toContainText('tock.toml');
}

// What a finger has set going has run out.
export async function rests(page: Page) {
  let last = Number.NaN;
  await expect
    .poll(
      async () => {
        const now = await page.evaluate(() => window.scrollY);
        const same = now === last;
        last = now;
        return same;
      },
      { intervals: [250] },
    )
    .toBe(true);
}

// The program, serving; `url` is the first address it tells that looks like `told`.
export async function serve(
  args: string[],
  told = /http:\/\/127\.0\.0\.1:\d+\//,
): Promise<{ child: ChildProcess; url: string }> {
  const child = spawn(program, ['page', ...args], { stdio: ['ignore', 'pipe', 'inherit'] });
  const url = await new Promise<string>((resolve, reject) => {
    let all = '';
    child.stdout!.on('data', (data: Buffer) => {
      all += data.toString();
      const found = told.exec(all);
      if (found) resolve(found[0]);
    });
    child.once('exit', (code) => reject(new Error(`ended with ${code}: ${all}`)));
  });
  return { child, url };
}

export async function ended(child: ChildProcess) {
  const gone = new Promise((resolve) => child.once('exit', resolve));
  child.kill('SIGTERM');
  await gone;
}

// `within`: of the page, where only that can be reached.
export async function noBarriers(page: Page, within = 'html') {
  // In one go, and without a list of all that was found right: that takes half the time. The page has
  // no frames, which only the long way looks into.
  // What it needs stays in the document, and is not sent again: that is most of a look at a small page.
  const isThere = await page.evaluate(() => 'axe' in window);
  const found = await new AxeBuilder({ page, ...(isThere ? { axeSource: 'undefined' } : {}) })
    .setLegacyMode(true)
    .options({ resultTypes: ['violations'] })
    .include(within)
    .withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'])
    .analyze();
  expect(
    found.violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).join(', ')}`),
  ).toEqual([]);
}

// Nothing is wider than the screen: the page itself never scrolls sideways.
export async function fits(page: Page) {
  const [content, screen] = await page.evaluate(() => [
    document.documentElement.scrollWidth,
    document.documentElement.clientWidth,
  ]);
  expect(content).toBeLessThanOrEqual(screen!);
}

// By its summary, until it is open: what arrives above it while a page begins can move it from under
// the mouse.
export async function unfold(details: Locator) {
  const isOpen = () => details.evaluate((d) => (d as HTMLDetailsElement).open);
  await expect(async () => {
    if (!(await isOpen())) await details.locator('> summary').click();
    expect(await isOpen()).toBe(true);
  }).toPass({ timeout: 20_000 });
}

// Changes a value of the file in place.
export async function change(page: Page, group: string, label: string, to: string) {
  const values = page.locator('details.values');
  await unfold(values);
  const holder = values.locator('details.group').filter({
    has: page.locator(`summary`, { hasText: new RegExp(`^${group.replace(/[.[\]]/g, '\\$&')}$`) }),
  });
  await unfold(holder);
  const field = holder.getByLabel(`${group} ${label}`, { exact: true });
  await field.fill(to);
  await field.press('Enter');
  return field;
}

export const bench = (page: Page, axle: 'Front' | 'Rear') =>
  page.getByRole('group', { name: `${axle} axle: try a set` });
export const verdict = (page: Page, axle: 'Front' | 'Rear') =>
  bench(page, axle).locator('.verdict');
// The heavy line of the bench's plot.
export const heavy = async (page: Page, axle: 'Front' | 'Rear') =>
  bench(page, axle).locator('figure.plot svg path[stroke-width="0.8"]').first().getAttribute('d');
// The text has it, and it is kept.
export async function kept(page: Page, words: string) {
  await expect.poll(() => fileText(page)).toContain(words);
  await expect(page.locator('.keeping')).toHaveText('kept');
}
export const fileText = async (page: Page) => {
  const button = page.getByRole('button', { name: 'The file as text' });
  if ((await button.getAttribute('aria-expanded')) === 'false') await button.click();
  return page.getByLabel('The car file').inputValue();
};
