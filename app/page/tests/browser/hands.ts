// What a hand does on the page: by touch alone on a phone, by keys alone on a laptop.
import type { Locator, Page } from '@playwright/test';
import { expect, test } from './opened';

export const heading = (page: Page) => page.locator('.start h1');
export const next = (page: Page) => page.getByRole('button', { name: 'Next' });
export const card = (page: Page, name: string) =>
  page.locator('.card').filter({ has: page.getByRole('radio', { name, exact: true }) });

// Presses by the hand that the project has.
export async function press(page: Page, what: Locator) {
  if (test.info().project.name === 'phone') {
    await what.tap();
    return;
  }
  // By keys: Tab until the focus is on it.
  for (let i = 0; i < 80; ++i) {
    if (await what.evaluate((e) => e === document.activeElement)) break;
    await page.keyboard.press('Tab');
  }
  await expect(what).toBeFocused();
  await page.keyboard.press('Enter');
}
export async function pick(page: Page, name: string) {
  const radio = page.getByRole('radio', { name, exact: true });
  if (test.info().project.name === 'phone') {
    await card(page, name).tap();
  } else {
    // Tab into the group, arrows within it.
    const radios = page.getByRole('radio');
    for (let i = 0; i < 20; ++i) {
      if (await radios.evaluateAll((all) => all.includes(document.activeElement as never))) break;
      await page.keyboard.press('Tab');
    }
    if (!(await radio.evaluate((r) => r === document.activeElement)) || !(await radio.isChecked()))
      await page.keyboard.press('Space');
    for (let i = 0; i < 12 && !(await radio.isChecked()); ++i)
      await page.keyboard.press('ArrowDown');
  }
  await expect(radio).toBeChecked();
}
export async function forward(page: Page) {
  const before = await heading(page).innerText();
  await press(page, next(page));
  await expect(heading(page)).not.toHaveText(before);
}
export async function type(page: Page, label: string, text: string) {
  const field = page.getByLabel(label, { exact: true });
  if (test.info().project.name === 'phone') await field.tap();
  else
    for (let i = 0; i < 20 && !(await field.evaluate((e) => e === document.activeElement)); ++i)
      await page.keyboard.press('Tab');
  await expect(field).toBeFocused();
  await page.keyboard.press('ControlOrMeta+A');
  await page.keyboard.type(text);
}
