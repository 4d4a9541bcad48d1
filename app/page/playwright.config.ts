import { defineConfig } from '@playwright/test';

// The built file in the browser of the system, at the size of a phone and of a laptop.
export default defineConfig({
  testDir: 'tests/browser',
  timeout: 60_000,
  expect: { timeout: 20_000 },
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
    { name: 'laptop', use: { viewport: { width: 1280, height: 800 } } },
    {
      name: 'phone',
      grepInvert: /@once/, // what no size of the screen has a part in
      use: {
        viewport: { width: 390, height: 844 },
        hasTouch: true,
        isMobile: true,
        deviceScaleFactor: 2,
      },
    },
  ],
});
