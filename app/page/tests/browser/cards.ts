// The survey's cards as a hand works them: by taps on the keys of a phone, by a real keyboard on a
// laptop.
import type { Page } from '@playwright/test';
import { press } from './hands';
import { begun, expect, test } from './opened';

export const cardsOf = (page: Page) =>
  page.getByRole('dialog', { name: /^Readings (at the car|on the floor)$/ });
export const where = (page: Page) => cardsOf(page).locator('.where');
export const title = (page: Page) => cardsOf(page).locator('form h3');
export const alerts = (page: Page) => cardsOf(page).locator('.says');
export const fields = (page: Page) => cardsOf(page).locator('.typing .field input');
export const by = (page: Page, name: string) =>
  cardsOf(page).getByRole('button', { name, exact: true });
const isPhone = () => test.info().project.name === 'phone';

// Opens a text as a file of one's own.
export async function openText(page: Page, text: string, name = 'mine.toml') {
  await page
    .getByLabel('Open a file')
    .setInputFiles({ name, mimeType: 'text/plain', buffer: Buffer.from(text) });
  await expect(page.locator('.title')).toContainText(name);
  await begun(page);
}

export async function openCards(page: Page) {
  await press(page, page.getByRole('button', { name: 'Take readings, card by card' }));
  await expect(cardsOf(page).locator('.ways')).toBeVisible();
}

// Nothing is being entered.
export const still = (page: Page) =>
  expect(cardsOf(page).locator('[aria-busy=true]')).toHaveCount(0);

// A card, or the corner of a gauge run; its part of the list is opened for it.
export async function pressInList(page: Page, name: string, within = '') {
  const button = page
    .locator('.cards button')
    .filter({ has: page.locator('strong', { hasText: new RegExp(`^${name}$`) }) });
  const part = cardsOf(page)
    .locator('details')
    .filter({ has: button })
    .filter({ has: page.locator('summary', { hasText: within }) })
    .first();
  if (!(await part.evaluate((d) => (d as HTMLDetailsElement).open)))
    await press(page, part.locator('summary'));
  await press(page, part.locator(button));
}

export async function takeCard(page: Page, number: string) {
  if ((await cardsOf(page).locator('form').count()) > 0) await press(page, by(page, 'All cards'));
  await pressInList(page, number);
  await expect(cardsOf(page).locator('form')).toBeVisible();
}

const keyNames: Record<string, string> = {
  ' ': 'blank',
  '/': 'stroke of a fraction',
  '.': 'point',
  '-': 'turn the sign',
  '°': 'degrees',
};
// On the keys of the card, whatever the screen.
export async function tapKeys(page: Page, text: string) {
  for (const key of text) {
    const button = cardsOf(page)
      .getByRole('group', { name: 'Keys' })
      .getByRole('button', { name: keyNames[key] ?? key, exact: true });
    if (isPhone()) await button.tap();
    else await button.click();
  }
}
export const typeKeys = (page: Page, text: string) =>
  isPhone() ? tapKeys(page, text) : page.keyboard.type(text);

export async function enter(page: Page) {
  if (isPhone()) await cardsOf(page).locator('.acts .main').tap();
  else await page.keyboard.press('Enter');
  await still(page);
}

// Every field of the card that fills the screen, and enters it; `again`: it stays. What is asked
// about it is kept, and given back.
export async function fill(page: Page, values: string[], again = false): Promise<string> {
  const all = await fields(page).count();
  for (const [i, value] of values.entries()) {
    await expect(fields(page).nth(i)).toBeFocused();
    await typeKeys(page, value);
    await expect(fields(page).nth(i)).toHaveValue(value);
    if (i + 1 < values.length) await enter(page);
  }
  const last = async () => {
    if (!again) return enter(page);
    await press(page, by(page, 'Enter, read again'));
    await still(page);
  };
  // A field that may be left out is offered once.
  if (values.length < all) await enter(page);
  await last();
  const asked = cardsOf(page).locator('.says .doubt');
  if ((await asked.count()) === 0) return '';
  const words = await asked.allInnerTexts();
  await last();
  return words.join(' ');
}
