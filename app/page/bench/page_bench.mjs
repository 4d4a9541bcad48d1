// How fast the built page is in this machine's Chromium, as its user sees it: from the event to the
// changed document. Prints medians and the slowest of each; nothing is judged.
//   npm --prefix app/page run bench
import { chromium } from '@playwright/test';
import { readFileSync, statSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { gzipSync } from 'node:zlib';

const file = fileURLToPath(new URL('../../../build/page/trammel.html', import.meta.url));
const opened = 7;
const moves = 60;
const edits = 12;

const sorted = (times) => [...times].sort((a, b) => a - b);
const median = (times) => sorted(times)[Math.floor(times.length / 2)];
const line = (what, times, goal) =>
  console.log(
    `${what.padEnd(52)} ${median(times).toFixed(0).padStart(6)} ms   slowest ${Math.max(...times).toFixed(0)} ms   goal ${goal} ms`,
  );

const size = statSync(file).size;
const packed = gzipSync(readFileSync(file), { level: 9 }).length;
console.log(
  `the page: ${(size / 1e6).toFixed(2)} MB, gzipped ${(packed / 1e6).toFixed(3)} MB (goal 1 MB)`,
);

const browser = await chromium.launch({
  executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
  args: ['--no-sandbox'],
});
const fresh = async () => {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
  return context.newPage();
};
const settled = (page) =>
  page.waitForFunction(
    () => document.querySelector('#work .answer') && !document.body.innerText.includes('working …'),
    null,
    { timeout: 120_000 },
  );

const first = [];
const whole = [];
let page;
for (let i = 0; i < opened; ++i) {
  page = await fresh();
  const begun = performance.now();
  await page.goto(pathToFileURL(file).href);
  await page.waitForSelector('#travel figure.plot svg');
  first.push(performance.now() - begun);
  await settled(page);
  whole.push(performance.now() - begun);
  if (i + 1 < opened) await page.context().close();
}
line('first curve after opening (demo hatch, 173 readings)', first, 1000);
line('everything ranked after opening', whole, '-');

// The hole is dragged: from the pointer's move to the redrawn curve with its band.
const dragged = await page.evaluate(async (count) => {
  const area = document.querySelectorAll('.hole-map .area')[0];
  const grab = area.querySelector('.grab');
  const figure = area.closest('.bench').querySelector('figure.plot .area');
  area.scrollIntoView({ behavior: 'instant', block: 'center' });
  const box = area.getBoundingClientRect();
  const send = (type, i) =>
    grab.dispatchEvent(
      new PointerEvent(type, {
        bubbles: true,
        pointerId: 1,
        button: 0,
        clientX: box.left + box.width * 0.36,
        clientY: box.top + box.height * (0.38 + (0.2 * i) / count),
      }),
    );
  grab.setPointerCapture = () => {};
  const redrawn = () =>
    new Promise((resolve) => {
      const watch = new MutationObserver(() => {
        watch.disconnect();
        resolve(performance.now());
      });
      watch.observe(figure, { childList: true, subtree: true, characterData: true });
      setTimeout(() => {
        watch.disconnect();
        resolve(Number.NaN);
      }, 2000);
    });
  const times = [];
  for (let i = 0; i < count; ++i) {
    const done = redrawn();
    const begun = performance.now();
    send(i === 0 ? 'pointerdown' : 'pointermove', i);
    times.push((await done) - begun);
    await new Promise((resolve) => requestAnimationFrame(resolve));
  }
  send('pointerup', count);
  return times;
}, moves);
const moved = dragged.slice(3).filter((ms) => Number.isFinite(ms));
line(`a move of a dragged hole (${moved.length} of ${moves - 3} seen)`, moved, 33);
await settled(page);

// Any other edit: from Enter to the new curves of both axles.
const edited = [];
const field = () => page.locator('input[aria-label="state.as_built front.height"]');
await page.locator('details.values > summary').click();
await page.locator('details.group > summary', { hasText: /^state\.as_built$/ }).click();
for (let i = 0; i < edits; ++i) {
  await field().fill(String(41 + i));
  edited.push(
    await page.evaluate(
      () =>
        new Promise((resolve) => {
          const plot = document.querySelector('#travel figure.plot .area');
          const watch = new MutationObserver(() => {
            watch.disconnect();
            resolve(performance.now() - begun);
          });
          watch.observe(plot, { childList: true, subtree: true });
          const begun = performance.now();
          document
            .querySelector('input[aria-label="state.as_built front.height"]')
            .dispatchEvent(new Event('change', { bubbles: true }));
        }),
    ),
  );
  await settled(page);
}
line('a value changed to the new curves', edited, 150);
await browser.close();
