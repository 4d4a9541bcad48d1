// A car of one's own, from the demo to its first survey: by touch alone on a phone, by keys alone
// on a laptop.
import type { Page } from '@playwright/test';
import { card, forward, heading, next, pick, press, type } from './hands';
import { beginTock, begun, expect, fileText, fits, noBarriers, settled, test } from './opened';

async function sound(page: Page) {
  await fits(page);
  // At its end, where the foot covers nothing that would have to be scrolled to first.
  await page.evaluate(() => window.scrollTo(0, document.documentElement.scrollHeight));
  await noBarriers(page);
}

test('from the demo to an own started car', async ({ page }) => {
  test.slow(); // a look for barriers at every screen
  await beginTock(page);
  await press(page, page.getByRole('button', { name: 'Start my own car' }));
  await expect(heading(page)).toHaveText('What holds your front wheel?');
  await expect(page.getByText('Never put any part of you under a car')).toBeVisible();
  await expect(page.locator('.card svg')).toHaveCount(6);
  await sound(page);
  // Each card can be hit by a thumb.
  for (const box of await page.locator('.card').all())
    expect((await box.boundingBox())!.height).toBeGreaterThanOrEqual(56);
  expect((await next(page).boundingBox())!.height).toBeGreaterThanOrEqual(56);

  // Nothing picked: it says so and stays.
  await press(page, next(page));
  await expect(page.getByRole('alert')).toContainText('Pick one');
  await noBarriers(page);

  await pick(page, 'One arm below, and the spring leg is bolted to the hub carrier');
  await forward(page);
  for (const name of ['Ahead of the middle of the wheel', 'It sits round the spring leg']) {
    await sound(page);
    await pick(page, name);
    await forward(page);
  }
  await pick(page, 'To the spring leg or the hub carrier');
  await sound(page);
  await forward(page);

  await expect(heading(page)).toHaveText('What holds your rear wheel?');
  await pick(page, 'One beam from wheel to wheel, hinged ahead of it');
  await expect(page.getByText('do not move by themselves')).toBeVisible();
  await sound(page);
  // Back at any time, and nothing is lost.
  await press(page, page.getByRole('button', { name: 'Back' }));
  await expect(page.getByRole('radio', { name: /^To the spring leg/ })).toBeChecked();
  await forward(page);
  await pick(page, 'Two arms, one above the other');
  await forward(page);
  for (const name of [
    'Behind the middle of the wheel',
    'To the body or its subframe',
    'A thread and a lock nut at one end of the toe rod',
    'On the lower arm',
    'There is none, or it shall be left out',
  ]) {
    await pick(page, name);
    await sound(page);
    await forward(page);
  }

  // A value that cannot be stays where it is, with what was expected.
  await expect(heading(page)).toHaveText('How large is the car?');
  await type(page, 'Wheelbase', '2.4');
  await press(page, next(page));
  await expect(page.locator('.fault').first()).toContainText('expected 1500 to 4500 mm');
  await expect(page.getByLabel('Wheelbase', { exact: true })).toHaveAttribute(
    'aria-invalid',
    'true',
  );
  await sound(page);
  await type(page, 'Wheelbase', '2.4 m');
  await forward(page);
  await sound(page);
  await forward(page);
  await type(page, 'The front was lowered by', '40');
  await sound(page);
  await forward(page);
  await type(page, 'Name of the car', 'The blue one');

  // A reload in the middle: the same question with the same answers.
  const where = await page.locator('.where').innerText();
  await expect
    .poll(() =>
      page.evaluate(
        () =>
          new Promise((resolve) => {
            const opening = indexedDB.open('trammel');
            opening.onsuccess = () => {
              const got = opening.result
                .transaction('settings')
                .objectStore('settings')
                .get('page');
              got.onsuccess = () => {
                opening.result.close();
                resolve(got.result?.start?.answers?.name);
              };
            };
          }),
      ),
    )
    .toBe('The blue one');
  await page.reload();
  await expect(page.locator('.where')).toHaveText(where);
  await expect(page.getByLabel('Name of the car', { exact: true })).toHaveValue('The blue one');
  await forward(page);

  await expect(heading(page)).toHaveText('Is that your car?');
  await expect(page.locator('.summary')).toContainText('2.4 m');
  await expect(page.locator('.summary')).toContainText('not measured, 600 mm is taken');
  await sound(page);
  await press(page, page.getByRole('button', { name: 'Start', exact: true }));
  await settled(page);
  await expect(page.getByRole('heading', { name: 'The blue one' })).toBeVisible();
  await expect(page.getByText('A demo: this car is invented.')).toHaveCount(0);
  for (const name of ['travel', 'correct', 'work'])
    await expect(page.locator(`#${name} .answer`).first()).toContainText('Not known yet');
  await expect(page.locator('#measure-next .answer')).toContainText('every joint');
  await sound(page);
  const text = await fileText(page);
  expect(text).toContain('wheelbase = 2400');
  expect(text).toContain('front = { height = 40, toe = 0.0 }');
  // It is kept as a car of its own, and the start is over.
  await page.reload();
  await expect(page.getByRole('heading', { name: 'The blue one' })).toBeVisible();
});

test('an axle that cannot be worked out is left out, and two of them are no car', async ({
  page,
}) => {
  await beginTock(page);
  await page.getByRole('button', { name: 'Start my own car' }).click();
  await card(page, 'One stiff axle from wheel to wheel').click();
  await next(page).click();
  await expect(heading(page)).toHaveText('What holds your rear wheel?');
  await card(page, "None of these, or I can't tell").click();
  await expect(page.getByText('can be added later')).toBeVisible();
  await next(page).click();
  // Nothing is left to be measured.
  await expect(page.getByText('No axle is described yet')).toBeVisible();
  await expect(page.getByRole('button', { name: 'Start', exact: true })).toHaveAttribute(
    'aria-disabled',
    'true',
  );
  await sound(page);
  // Left and gone on with later.
  await page.getByRole('button', { name: 'Leave, keep the answers' }).click();
  await begun(page);
  await page.getByRole('button', { name: 'Versions and cars' }).click();
  await page.locator('.versions').getByRole('button', { name: 'Start my own car' }).click();
  await expect(heading(page)).toHaveText('Is that your car?');
});

test('the start by night, narrow, and large @once', async ({ page }) => {
  await page.emulateMedia({ colorScheme: 'dark' });
  await page.setViewportSize({ width: 320, height: 568 });
  await beginTock(page);
  await page.getByRole('button', { name: 'Start my own car' }).click();
  await sound(page);
  await card(page, 'Two arms, one above the other').click();
  await sound(page);
  await next(page).click();
  await expect(heading(page)).toHaveText('Where does the steering rod run?');
  await page.evaluate(() => (document.documentElement.style.fontSize = '200%'));
  await sound(page);
  await card(page, "I can't tell").click();
  await next(page).click();
  await expect(heading(page)).toHaveText('What does the front spring stand on?');
  await sound(page);
});
