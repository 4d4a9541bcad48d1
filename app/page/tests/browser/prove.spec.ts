// Gauge rows with the parts fitted: what was in is written with them, and what they say is told.
import { alerts, cardsOf, pressInList, still } from './cards';
import { expect, fits, noBarriers, openTock, settled, test } from './opened';
import { tockProven } from './texts';

test('a wheel has passed, and the record says so; a run of the other side says what was fitted and is judged', async ({
  page,
}) => {
  await openTock(page, tockProven);
  await settled(page);
  const prove = page.locator('#prove');
  await expect(prove.locator('.answer')).toContainText('Front left: passed.');
  await expect(prove.locator('.care').first()).toContainText(
    'Never drive with a ball joint corrected and its rod not',
  );
  await prove.locator('summary', { hasText: 'The working' }).click();
  await expect(prove.locator('figure.plot').first()).toBeVisible();
  await fits(page);
  await noBarriers(page, '#prove');

  await test.step('the record stands at the end, with two names to sign', async () => {
    const record = page.locator('#record');
    await expect(record.locator('.answer')).toContainText(
      'by the gauge: front left passed and front right not run',
    );
    await expect(record.getByText('went over it: every lock nut')).toBeVisible();
    await fits(page);
    await noBarriers(page, '#record');
  });

  await prove.getByRole('button', { name: 'Take gauge rows with the parts fitted' }).click();
  await pressInList(page, 'front right', 'with the parts fitted');
  const card = cardsOf(page);
  await expect(card.locator('form h3')).toContainText('front right, parts fitted');
  await expect(card).toContainText('Run with 30.0 mm ball-joint spacer');
  await noBarriers(page, 'dialog');
  // A wheel that toes out three times as fast as it should: no honest reading.
  const dial = (name: string) => card.getByLabel(`${name}, mm`, { exact: true });
  for (const travel of [0, 10, 20, 30, 40]) {
    await expect(dial('travel')).toHaveValue(String(travel));
    await dial('front dial').fill('0');
    await dial('rear dial').fill(String(-0.3 * travel));
    await card.locator('.acts .main').click();
    await still(page);
    await expect(alerts(page)).toBeEmpty();
  }
  await card.getByRole('button', { name: 'All cards' }).click();
  await card.getByRole('button', { name: 'Back to the sheet' }).click();
  await settled(page);
  await expect(prove.locator('.answer')).toContainText('Front right: no, something is bent, loose');
  await page.getByRole('button', { name: 'The file as text' }).click();
  await expect(page.locator('#sheet textarea')).toHaveValue(/with = \{ "ball-joint spacer" = 30/);
});
