// Alignment: readings on the floor by cards, what they ask, what is turned and written down.
import { enter, fields, typeKeys } from './cards';
import { expect, fits, noBarriers, openTock, settled, test } from './opened';
import { tockWithParts } from './texts';

test('a day on the floor is taken by cards, asked about, told and turned', async ({ page }) => {
  await openTock(page, tockWithParts);
  await settled(page);
  const align = page.locator('#align');
  await expect(align.locator('.answer')).toContainText('4 things to turn');
  await expect(align.locator('.care').first()).toContainText(
    'never go under a car that stands on a jack',
  );

  await align.getByRole('button', { name: 'Take readings on the floor' }).click();
  const floor = page.getByRole('dialog', { name: 'Readings on the floor' });
  await expect(floor).toContainText('These readings are of as found');
  await noBarriers(page, 'dialog');
  // Another day, with the parts in.
  await floor.getByRole('button', { name: 'Begin a new day' }).click();
  await floor.getByLabel('Name of the day').fill('with the parts');
  await floor.getByRole('button', { name: 'Begin this day' }).click();
  await expect(floor).toContainText('These readings are of with the parts');
  await floor.locator('summary', { hasText: 'Front left' }).click();
  await floor.getByRole('button', { name: /^AFL1 / }).click();
  await expect(floor.locator('form h3')).toContainText('String to rim and hub');
  await fits(page);
  await noBarriers(page, 'dialog');
  // Degrees for millimetres are asked about, and nothing is written.
  const says = floor.locator('.says');
  for (const value of ['0.3', '0.1']) {
    await typeKeys(page, value);
    await enter(page);
  }
  await enter(page);
  await expect(says).toContainText('Were degrees typed');
  for (const [i, value] of ['223.0', '224.5', '224.0'].entries())
    await fields(page).nth(i).fill(value);
  await enter(page);
  // The next card of the wheel follows.
  await expect(floor.locator('form h3')).toContainText('half a turn on');
  await floor.getByRole('button', { name: 'Before' }).click();
  await expect(floor.locator('.taken')).toContainText(
    'front 223.0 mm, rear 224.5 mm; hub 224.0 mm',
  );
  await floor.getByRole('button', { name: 'All cards' }).click();
  await floor.getByRole('button', { name: 'Back to the sheet' }).click();

  await settled(page);
  await expect(align.locator('.answer')).toContainText('One thing to turn');
  await align.locator('summary', { hasText: 'The working' }).click();
  await expect(align).toContainText("As read, 'with the parts', with the parts fitted");
  await fits(page);
  await noBarriers(page, '#align');
  await align.getByRole('button', { name: 'All of it is turned' }).click();
  await page.getByRole('button', { name: 'The file as text' }).click();
  await expect(page.locator('#sheet textarea')).toHaveValue(/toe_turned = /);
});
