import { defineConfig } from '@playwright/test';

// The built file in the browser of the system, at the size of a phone and of a laptop. What no size of
// the screen has a part in runs at one of them: @once on the laptop, @phone on the phone.
export default defineConfig({
  testDir: 'tests/browser',
  // No test tells how fast the page is: these times only end what hangs, with other work beside it too.
  timeout: 120_000,
  expect: { timeout: 40_000 },
  fullyParallel: true,
  workers: 2,
  reporter: 'line',
  use: {
    launchOptions: {
      executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
      args: ['--no-sandbox'],
    },
    trace: 'off',
  },
  projects: [
    { name: 'laptop', grepInvert: /@phone/, use: { viewport: { width: 1280, height: 800 } } },
    {
      name: 'phone',
      grepInvert: /@once/,
      use: {
        viewport: { width: 390, height: 844 },
        hasTouch: true,
        isMobile: true,
        deviceScaleFactor: 2,
      },
    },
  ],
});
